#include "io/live/checkpoint.hpp"

#include <fmt/format.h>

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
    return "amphora checkpoint 2, code " + std::to_string(record::derivation_code) + ", " +
           std::to_string(sizeof(Checkpoint)) + " bytes, " + __VERSION__ + ", " + fingerprint + "\n";
}

std::uint32_t sum(std::span<const char> bytes) {
    return ledger::crc32c({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
}

/// The second line, in words: "believed 1780000000000000 0.62 0.03".
std::string line_of(const Checkpoint& checkpoint) {
    const auto& charge = checkpoint.state_of_charge;
    return fmt::format("believed {} {:.6f} {:.6f}\n", checkpoint.until_us, charge.mean.value(), charge.sd.value());
}

}  // namespace

bool save(const Checkpoint& checkpoint, const std::string& fingerprint, const std::filesystem::path& file) {
    std::string bytes = mark(fingerprint) + line_of(checkpoint);
    const std::size_t head = bytes.size();
    bytes.resize(head + sizeof checkpoint);
    std::memcpy(bytes.data() + head, &checkpoint, sizeof checkpoint);
    const std::uint32_t crc = sum({bytes.data() + head, sizeof checkpoint});
    bytes.append(reinterpret_cast<const char*>(&crc), sizeof crc);
    return sink::replace_file(file.string(), bytes).has_value();
}

std::optional<Checkpoint> load_checkpoint(const PipelineMemory& fresh, const std::string& fingerprint,
                                          const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    std::string first;
    std::string second;
    if (!std::getline(in, first) || first + "\n" != mark(fingerprint) || !std::getline(in, second)) return std::nullopt;
    const std::string bytes{std::istreambuf_iterator<char>(in), {}};
    std::uint32_t crc = 0;
    if (bytes.size() != sizeof(Checkpoint) + sizeof crc) return std::nullopt;
    const std::size_t end = bytes.size() - sizeof crc;
    std::memcpy(&crc, bytes.data() + end, sizeof crc);
    if (crc != sum({bytes.data(), end})) return std::nullopt;
    Checkpoint checkpoint{fresh, {}, 0, 0, {}};
    std::memcpy(static_cast<void*>(&checkpoint), bytes.data(), sizeof checkpoint);
    return checkpoint;
}

std::optional<LastBelief> load_belief(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    std::string mark;
    std::string word;
    LastBelief belief;
    double mean = 0.0;
    double sd = 0.0;
    if (!std::getline(in, mark) || !mark.starts_with("amphora checkpoint")) return std::nullopt;
    if (!(in >> word >> belief.at.us >> mean >> sd) || word != "believed") return std::nullopt;
    if (!(mean >= 0.0 && mean <= 1.0 && sd >= 0.0 && sd <= 1.0)) return std::nullopt;
    belief.state_of_charge = {Fraction(mean), Fraction(sd)};
    return belief;
}

}  // namespace amphora::live
