// Any bytes as a CSV log: no crash, no value that no meter shows, every line counted once, and the same result however
// the bytes arrive.
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <string_view>
#include <vector>

#include "io/source/csv_reader.hpp"
#include "io/source/moment.hpp"

namespace {

using namespace amphora;

void require(bool holds) {
    if (!holds) std::abort();
}

bool plausible(double value) { return std::isnan(value) || std::abs(value) <= 1e12; }

struct Outcome {
    bool opened = false;
    source::CsvReport report;
    std::vector<std::int64_t> times;
};

Outcome read(std::string_view bytes, std::size_t piece) {
    System system;
    system.meters.push_back({"shunt", Ampere(300.0), Volt(0.075)});
    auto reader = source::CsvReader::open(source::memory_input(bytes, piece), system);
    Outcome outcome;
    if (!reader) {
        require(!reader.error().message.empty());
        return outcome;
    }
    outcome.opened = true;
    for (;;) {
        const auto batch = reader->next();
        require(batch.has_value());
        if (batch->empty()) break;
        for (const auto& reading : *batch) {
            require(reading.at.us >= 0 && reading.at.us <= (source::last_second + 1) * 1'000'000);
            require(plausible(reading.current.value()) && plausible(reading.voltage.value()) &&
                    plausible(reading.temperature.value()));
            outcome.times.push_back(reading.at.us);
        }
    }
    outcome.report = reader->report();
    return outcome;
}

std::uint64_t lines_in(std::string_view bytes) {
    std::uint64_t lines = bytes.empty() || bytes.back() == '\n' ? 0 : 1;
    for (const char c : bytes) lines += c == '\n' ? 1 : 0;
    return lines;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string_view bytes(reinterpret_cast<const char*>(data), size);
    const auto whole = read(bytes, SIZE_MAX);
    const auto pieces = read(bytes, 13);
    require(whole.opened == pieces.opened && whole.times == pieces.times && whole.report.bad == pieces.report.bad);
    if (whole.opened) {
        const auto& r = whole.report;
        require(r.readings + r.bad + r.blank + r.comments + r.repeated_headers + 1 == lines_in(bytes));
        require(r.first_bad.size() == std::min<std::uint64_t>(r.bad, source::bad_lines_kept));
        for (const auto& bad : r.first_bad) require(!bad_line_words(bad).empty());
    }
    return 0;
}
