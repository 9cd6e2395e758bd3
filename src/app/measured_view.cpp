#include "app/measured_view.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <nlohmann/json.hpp>

#include "core/design/words.hpp"
#include "io/text/calendar.hpp"

namespace amphora::app {
namespace {

using design::Comparison;
using design::Measured;
using Json = nlohmann::ordered_json;

constexpr double far = 0.25;  // from the plan

/// The local month and hour of a moment, without asking the zone for each reading.
class LocalClock {
public:
    explicit LocalClock(const record::LocalDays& days) : days_(days) {}
    void set(std::int64_t us) {
        if (us < start_ || us >= end_) {
            start_ = days_.day_start(us);
            end_ = days_.day_start(us, 1);
            month_ = std::stoi(days_.date(us).substr(5, 2)) - 1;
        }
        hour_ = static_cast<double>(us - start_) / static_cast<double>(ledger::hour_us);
    }
    [[nodiscard]] int month() const { return month_; }
    [[nodiscard]] double hour() const { return hour_; }

private:
    const record::LocalDays& days_;
    std::int64_t start_ = 0;
    std::int64_t end_ = 0;
    int month_ = 0;
    double hour_ = 0.0;
};

std::string apart(WattHour planned, WattHour measured) {
    if (planned.value() < 1.0) return measured.value() < 1.0 ? "" : "not planned";
    const double share = measured / planned - 1.0;
    if (std::abs(share) <= far) return "about as planned";
    return fmt::format("{:+.0f} %", share * 100.0);
}

std::string month_rows(const Measured& m) {
    std::string out = fmt::format(
        "Month by month, Wh on a mean day at the shunt\n  {:<6}{:>9}{:>12}{:>12}{:>18}{:>12}"
        "{:>12}{:>18}\n",
        "", "days", "out, plan", "measured", "", "in, plan", "measured", "");
    for (std::size_t i = 0; i < text::month_marks.size(); ++i) {
        const auto& r = m.months.at(i);
        const double days = r.covered.value() / 24.0;
        if (days < 0.5) continue;
        out += fmt::format("  {:<6}{:>9.0f}{:>12.0f}{:>12.0f}{:>18}{:>12.0f}{:>12.0f}{:>18}\n", text::month_marks.at(i),
                           days, r.planned_out.value(), r.out.value(), apart(r.planned_out, r.out),
                           r.planned_in.value(), r.in.value(), apart(r.planned_in, r.in));
    }
    return out;
}

std::string appliance_rows(const Measured& m) {
    std::string out = fmt::format(
        "\nAppliance by appliance, Wh a day, told from the steps of the current\n  "
        "{:<26}{:>10}{:>12}{:>18}{:>14}{:>12}\n",
        "", "plan", "measured", "", "times a day", "while on");
    for (const Comparison& c : m.appliances) {
        out += fmt::format("  {:<26}{:>10.0f}{:>12.0f}{:>18}{:>14}{:>12}{}\n", c.name, c.planned.value(),
                           c.measured.value(), apart(c.planned, c.measured),
                           c.times_a_day > 0.0 ? fmt::format("{:.1f}", c.times_a_day) : "-",
                           c.power.known() ? design::words(c.power) : "-", c.drawn.empty() ? "" : "  *");
    }
    for (const Comparison& c : m.appliances) {
        if (!c.drawn.empty())
            out += fmt::format("  * {}: the plan goes by its draw test ({}); what is apart is how long it runs\n",
                               c.name, c.drawn);
    }
    const double told = m.drawn.value() > 0.0 ? m.told_apart / m.drawn * 100.0 : 0.0;
    return out + fmt::format(
                     "  of {:.0f} Wh drawn on a mean day, {:.0f} % is told apart; appliances of like power are "
                     "taken for one another; \"about as planned\" is within {:.0f} %\n",
                     m.drawn.value(), told, far * 100.0);
}

std::string charger_rows(const Measured& m) {
    if (m.chargers.empty()) return "";
    std::string out =
        fmt::format("\nCharger by charger, Wh a day\n  {:<26}{:>10}{:>12}{:>18}\n", "", "plan", "measured", "");
    for (const Comparison& c : m.chargers) {
        out += fmt::format("  {:<26}{:>10.0f}{:>12.0f}{:>18}\n", c.name, c.planned.value(), c.measured.value(),
                           apart(c.planned, c.measured));
    }
    return out +
           "  measured: what went into the battery, and into loads that are known to run meanwhile; the plan is "
           "what could be given,\n  and a battery that is full takes less\n";
}

Json as_json(const Comparison& c) {
    return {{"name", c.name},
            {"planned_wh_per_day", c.planned.value()},
            {"planned_by_draw_test", !c.drawn.empty()},
            {"measured_wh_per_day", c.measured.value()},
            {"times_a_day", c.times_a_day},
            {"power_w", c.power.known() ? Json(c.power.value()) : Json(nullptr)}};
}

}  // namespace

std::expected<Measured, Exit> measure(const design::Plan& plan, const RecordPlace& place) {
    const auto reader = record::Reader::open(place.file);
    if (!reader) return std::unexpected(report(reader.error()));
    const auto extent = reader->extent();
    if (!extent) {
        fmt::print(stderr, "{}: the record is empty; take logs in with `amphora import`\n", place.file.string());
        return std::unexpected(Exit::data);
    }
    design::Witness witness(plan);
    LocalClock clock(place.days);
    const auto read = reader->visit(*extent, [&](const ledger::Columns& c, std::size_t i, std::size_t end) {
        for (; i < end; ++i) {
            clock.set(c.time_us[i]);
            witness.push(c.reading(i), clock.month(), clock.hour());
        }
    });
    if (!read) return std::unexpected(report(read.error()));
    return witness.result();
}

std::string measured_text(const Measured& m) {
    return fmt::format("Planned and measured: {:.1f} days of the record\n\n", m.covered.value() / 24.0) +
           month_rows(m) + appliance_rows(m) + charger_rows(m);
}

Json measured_json(const Measured& m) {
    Json by_month = Json::array();
    for (std::size_t i = 0; i < text::month_marks.size(); ++i) {
        const auto& r = m.months.at(i);
        by_month.push_back({{"month", i + 1},
                            {"covered_h", r.covered.value()},
                            {"planned_out_wh", r.planned_out.value()},
                            {"out_wh", r.out.value()},
                            {"planned_in_wh", r.planned_in.value()},
                            {"in_wh", r.in.value()}});
    }
    Json appliances = Json::array();
    for (const Comparison& c : m.appliances) appliances.push_back(as_json(c));
    Json chargers = Json::array();
    for (const Comparison& c : m.chargers) chargers.push_back(as_json(c));
    return {{"covered_h", m.covered.value()},
            {"months", by_month},
            {"appliances", appliances},
            {"chargers", chargers},
            {"drawn_wh_per_day", m.drawn.value()},
            {"told_apart_wh_per_day", m.told_apart.value()}};
}

}  // namespace amphora::app
