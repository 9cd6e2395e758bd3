#include "io/live/checkpoint.hpp"

#include <array>
#include <cstring>
#include <fstream>
#include <iterator>
#include <span>
#include <type_traits>
#include <vector>

#include "core/ledger/crc32c.hpp"
#include "io/record/derive.hpp"
#include "io/sink/output_file.hpp"

namespace amphora::live {
namespace {

static_assert(std::is_trivially_copyable_v<Checkpoint>);

/// Whatever changes the meaning of the bytes must change this: the derivation's code number, the layout's size, the
/// compiler.
std::string mark(const std::string& fingerprint) {
    return "amphora checkpoint 1, code " + std::to_string(record::derivation_code) + ", " +
           std::to_string(sizeof(Checkpoint)) + " bytes, " + __VERSION__ + ", " + fingerprint + "\n";
}

std::uint32_t sum(std::span<const char> bytes) {
    return ledger::crc32c({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
}

}  // namespace

bool save(const Checkpoint& checkpoint, const std::string& fingerprint, const std::filesystem::path& file) {
    std::string bytes = mark(fingerprint);
    const std::size_t head = bytes.size();
    bytes.resize(head + sizeof checkpoint);
    std::memcpy(bytes.data() + head, &checkpoint, sizeof checkpoint);
    const std::uint32_t crc = sum(bytes);
    bytes.append(reinterpret_cast<const char*>(&crc), sizeof crc);
    return sink::replace_file(file.string(), bytes).has_value();
}

std::optional<Checkpoint> load_checkpoint(const PipelineMemory& fresh, const std::string& fingerprint,
                                          const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(in), {}};
    const std::string head = mark(fingerprint);
    std::uint32_t crc = 0;
    if (bytes.size() != head.size() + sizeof(Checkpoint) + sizeof crc || !bytes.starts_with(head)) return std::nullopt;
    const std::size_t end = bytes.size() - sizeof crc;
    std::memcpy(&crc, bytes.data() + end, sizeof crc);
    if (crc != sum({bytes.data(), end})) return std::nullopt;
    Checkpoint checkpoint{fresh, {}, 0, 0};
    std::memcpy(static_cast<void*>(&checkpoint), bytes.data() + head.size(), sizeof checkpoint);
    return checkpoint;
}

}  // namespace amphora::live
