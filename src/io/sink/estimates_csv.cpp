#include "io/sink/estimates_csv.hpp"

#include <array>
#include <charconv>
#include <string_view>
#include <utility>

#include "io/text/evidence_word.hpp"

namespace amphora::sink {
namespace {

constexpr std::string_view header =
    "time_utc,state_of_charge,state_of_charge_sd,remaining_ah,remaining_ah_sd,time_to_empty_s,"
    "hindsight_state_of_charge,hindsight_state_of_charge_sd,time_to_empty_low_s,time_to_empty_high_s,time_to_full_s,"
    "current_a,voltage_v,power_w,meter_offset_a,meter_offset_a_sd,full_charge_capacity_ah,full_charge_capacity_ah_sd,"
    "evidence\n";

// A line under construction, cell by cell, in a room that is always large enough: 19 cells of at most 24 characters.
class Line {
public:
    template <class Q>
    void cell(Q value, int decimals) {
        if (value.known()) number(value.value(), decimals);
        separate();
    }
    // Whole microseconds, without the zeros at the end.
    void time(Instant at) {
        number(at.us / 1'000'000);
        if (const auto us = at.us % 1'000'000; us != 0) {
            std::array<char, 8> digits{};
            std::to_chars(digits.data(), digits.data() + digits.size(), 1'000'000 + us);
            std::size_t count = 7;
            while (digits[count - 1] == '0') --count;
            digits[0] = '.';
            text({digits.data(), count});
        }
        separate();
    }
    void text(std::string_view word) { end_ = std::ranges::copy(word, end_).out; }
    [[nodiscard]] std::string_view finish() {
        *end_++ = '\n';
        return {room_.data(), static_cast<std::size_t>(end_ - room_.data())};
    }

private:
    void number(std::int64_t value) { end_ = std::to_chars(end_, limit(), value).ptr; }
    void number(double value, int decimals) {
        const auto [end, error] = std::to_chars(end_, limit(), value, std::chars_format::fixed, decimals);
        if (error == std::errc{}) end_ = end;
    }
    void separate() { *end_++ = ','; }
    char* limit() { return end_ + 24; }

    std::array<char, 512> room_;
    char* end_ = room_.data();
};

}  // namespace

EstimatesCsv::EstimatesCsv(OutputFile file) : file_(std::move(file)) { file_.write(header); }

void EstimatesCsv::write(const Estimate& e, const std::optional<Uncertain<Fraction>>& hindsight) {
    const auto known_now = hindsight.value_or(Uncertain<Fraction>{Fraction::missing(), Fraction::missing()});
    Line line;
    line.time(e.at);
    line.cell(e.state_of_charge.mean, 5);
    line.cell(e.state_of_charge.sd, 5);
    line.cell(e.remaining.mean, 3);
    line.cell(e.remaining.sd, 3);
    line.cell(e.to_empty.likely, 0);
    line.cell(known_now.mean, 5);
    line.cell(known_now.sd, 5);
    line.cell(e.to_empty.low, 0);
    line.cell(e.to_empty.high, 0);
    line.cell(e.to_full.likely, 0);
    line.cell(e.current, 3);
    line.cell(e.voltage, 3);
    line.cell(e.power, 1);
    line.cell(e.meter_offset.mean, 4);
    line.cell(e.meter_offset.sd, 4);
    line.cell(e.full_charge_capacity.mean, 3);
    line.cell(e.full_charge_capacity.sd, 3);
    line.text(text::evidence_word(e.evidence.kind));
    file_.write(line.finish());
}

}  // namespace amphora::sink
