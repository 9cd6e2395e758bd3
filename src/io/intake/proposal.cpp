#include "io/intake/proposal.hpp"

#include <fmt/core.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <set>

#include "io/intake/cells.hpp"
#include "io/intake/column_words.hpp"
#include "io/intake/log_reader.hpp"
#include "io/intake/log_sample.hpp"
#include "io/intake/scale_check.hpp"
#include "io/intake/time_guess.hpp"
#include "io/source/bad_line.hpp"

namespace amphora::intake {
namespace {

constexpr std::size_t readings_looked_at = 200'000;
constexpr std::size_t most_time_columns = 12;
constexpr double sure_against_our_name = -0.8;  // correlation at which even a column named current_a is turned

std::string in_quotes(std::string_view text) { return fmt::format("\"{}\"", source::excerpt(text)); }

class Look {
public:
    Look(std::string_view text, const System* system, LogSample sample, Proposal& p)
        : text_(text), system_(system), sample_(std::move(sample)), p_(p), m_(p.mapping) {
        for (const auto& column : sample_.columns) p_.columns.push_back(column.id);
    }

    void find_everything() {
        find_times();
        find_meters();
        if (m_.header || m_.json_lines)
            find_values();
        else
            guess_values_by_figures();
        if (!m_.has_values())
            doubt(fmt::format("neither current nor voltage was found among the columns {}", names_of_columns()));
        if (!m_.complete()) return;
        find_scales();
        find_direction();
        find_sign();
    }

private:
    using Column = const SampleColumn*;

    void note(std::string text) { p_.notes.push_back(std::move(text)); }
    void doubt(std::string text) { p_.doubts.push_back(std::move(text)); }

    std::string names_of_columns() const { return source::excerpt(fmt::format("{}", fmt::join(p_.columns, ", "))); }

    bool is_numeric(const SampleColumn& column) const {
        std::size_t numbers = 0;
        std::size_t texts = 0;
        for (const auto& cell : column.cells) {
            if (says_nothing(cell)) continue;
            ++(number_in(cell, m_.decimal_comma) ? numbers : texts);
        }
        return numbers > texts;
    }

    bool is_time(const SampleColumn& column) const {
        return std::ranges::find(m_.time_columns, column.id) != m_.time_columns.end();
    }

    // ---- times

    void find_times() {
        std::vector<Column> named;
        for (const auto& column : sample_.columns)
            if (!(m_.header || m_.json_lines) || fit_of(column.name, Quantity::time) > 0) named.push_back(&column);
        if (named.size() > most_time_columns) named.resize(most_time_columns);
        if (named.empty()) return doubt(fmt::format("no column of times was found among {}", names_of_columns()));
        if (std::ranges::all_of(named, [](Column c) { return c->cells.empty(); }))
            return doubt("there are no readings below its header");
        const bool found = one_column(named, false) || two_columns(named) || one_column(named, true);
        if (!found) {
            m_.time_columns = {named.front()->id};
            m_.time_format.clear();
            return doubt(
                fmt::format("the times in {}, such as {}, are written in a way that is not known here; say in a "
                            "mapping file how, as in time_format = \"%d.%m.%Y %H:%M:%S\"",
                            in_quotes(named.front()->id),
                            in_quotes(named.front()->cells.empty() ? "" : named.front()->cells.front())));
        }
        settle_order();
    }

    bool one_column(const std::vector<Column>& named, bool relative_too) {
        for (const Column column : named) {
            const TimeGuess guess = guess_time(column->cells, m_.zone);
            if (guess.format.empty()) continue;
            const bool ours = lower_case(column->id) == "time_utc";
            if (guess.relative && !ours && !relative_too) continue;
            // Without a header any number looks like a moment.
            if (guess.format.starts_with("unix") && guess.relative && !m_.header && !m_.json_lines) continue;
            take_times({column->id}, guess);
            if (guess.relative && !ours)
                doubt(fmt::format(
                    "the times in {} count from the start of the log; say in the mapping file when that was: "
                    "starts_at = \"2026-05-01T08:00:00\"",
                    in_quotes(column->id)));
            return true;
        }
        return false;
    }

    bool two_columns(const std::vector<Column>& named) {
        for (const Column day : named)
            for (const Column clock : named) {
                if (day == clock) continue;
                std::vector<std::string> joined;
                for (std::size_t i = 0; i < std::min(day->cells.size(), clock->cells.size()); ++i)
                    joined.push_back(day->cells[i] + " " + clock->cells[i]);
                const TimeGuess guess = guess_time(joined, m_.zone);
                if (guess.format.empty()) continue;
                take_times({day->id, clock->id}, guess);
                return true;
            }
        return false;
    }

    void take_times(std::vector<std::string> columns, const TimeGuess& guess) {
        m_.time_columns = std::move(columns);
        m_.time_format = guess.format;
        turned_ = guess.turned;
    }

    void settle_order() {
        if (turned_.empty()) return;
        switch (date_order(text_, m_, turned_)) {
            case DateOrder::as_mapped:
                return note("in the dates the day stands before the month: so the log goes on without jumps");
            case DateOrder::turned:
                m_.time_format = turned_;
                return note("in the dates the month stands before the day: so the log goes on without jumps");
            case DateOrder::open:
                p_.order_open = true;
                return doubt(
                    fmt::format("day and month could be either way round in these dates; say in a mapping file "
                                "time_format = \"{}\" or \"{}\"",
                                m_.time_format, turned_));
        }
    }

    // ---- which lines and columns

    /// A column that names the meter of each line.
    void find_meters() {
        for (const auto& column : sample_.columns) {
            if (is_time(column) || !names_meters(column.name)) continue;
            if (fit_of(column.name, Quantity::current) > 0 || fit_of(column.name, Quantity::voltage) > 0 ||
                fit_of(column.name, Quantity::temperature) > 0 || fit_of(column.name, Quantity::power) > 0 ||
                unit_in(column.name, Quantity::voltage))
                continue;
            const std::set<std::string> meters(column.cells.begin(), column.cells.end());
            if (meters.size() < 2 || meters.size() > 20 || meters.size() * 2 > column.cells.size()) continue;
            std::vector<std::string> batteries;
            for (const auto& meter : meters)
                if (says_battery(meter)) batteries.push_back(meter);
            m_.only = WordColumn{column.id, {batteries.empty() ? column.cells.front() : batteries.front()}};
            const auto list = source::excerpt(fmt::format("{}", fmt::join(meters, ", ")));
            if (batteries.size() == 1)
                note(fmt::format("there are several meters in {} ({}): {} is taken", in_quotes(column.id), list,
                                 in_quotes(batteries.front())));
            else
                doubt(
                    fmt::format("there are several meters in {} ({}); say in a mapping file which is the battery's: "
                                "only = {{ column = \"{}\", words = [\"{}\"] }}",
                                in_quotes(column.id), list, column.id, m_.only->words.front()));
            return;
        }
    }

    struct Candidate {
        Column column = nullptr;
        int fit = 0;
    };

    /// The columns of numbers that fit a quantity, the best first.
    std::vector<Candidate> candidates(Quantity quantity) const {
        std::vector<Candidate> found;
        for (const auto& column : sample_.columns) {
            const int fit = fit_of(column.name, quantity);
            if (fit > 0 && !is_time(column) && is_numeric(column)) found.push_back({&column, fit});
        }
        std::ranges::stable_sort(found, std::greater{}, &Candidate::fit);
        return found;
    }

    static ValueColumn in_unit(Column column, Quantity quantity) {
        const Unit unit = unit_in(column->name, quantity).value_or(Unit{});
        return {column->id, unit.scale, unit.offset};
    }
    /// The name, or every cell, says the unit.
    bool names_unit(const std::optional<ValueColumn>& value, Quantity quantity) const {
        if (!value) return false;
        const auto column = std::ranges::find(sample_.columns, value->column, &SampleColumn::id);
        if (column == sample_.columns.end()) return false;
        if (unit_in(column->name, quantity)) return true;
        return std::ranges::any_of(column->cells, [&](const auto& cell) {
            const auto number = number_in(cell, m_.decimal_comma);
            return number && number->unit;
        });
    }

    /// The best of the candidates; a doubt when another is as good and holds other figures.
    Column best(const std::vector<Candidate>& found, const char* what) {
        if (found.empty()) return nullptr;
        if (found.size() > 1 && found[1].fit == found[0].fit && !alike(*found[0].column, *found[1].column))
            doubt(fmt::format("{} and {} could both be the battery's {}; name the right one in a mapping file",
                              in_quotes(found[0].column->id), in_quotes(found[1].column->id), what));
        return found[0].column;
    }

    /// Whether two columns hold nearly the same figures.
    bool alike(const SampleColumn& a, const SampleColumn& b) const {
        double differ = 0.0;
        double size = 0.0;
        for (std::size_t i = 0; i < std::min(a.cells.size(), b.cells.size()); ++i) {
            const auto x = number_in(a.cells[i], m_.decimal_comma);
            const auto y = number_in(b.cells[i], m_.decimal_comma);
            if (!x || !y) continue;
            differ += std::abs(x->value - y->value);
            size += std::abs(x->value);
        }
        return differ <= 0.02 * size;
    }

    void find_values() {
        find_current();
        if (const auto column = best(candidates(Quantity::voltage), "voltage"))
            m_.voltage = in_unit(column, Quantity::voltage);
        const auto warm = candidates(Quantity::temperature);
        if (!warm.empty()) m_.temperature = in_unit(warm[0].column, Quantity::temperature);
        if (!m_.current && !m_.discharge) find_drop_or_power();
        if (!m_.current && !m_.discharge && !m_.power && m_.voltage) note("no column of the current was found");
        if (!m_.voltage && m_.has_values()) note("no column of the voltage was found");
    }

    void find_current() {
        std::vector<Candidate> net;
        std::vector<Candidate> in;
        std::vector<Candidate> out;
        for (const auto& candidate : candidates(Quantity::current)) {
            const Way way = way_of(candidate.column->name);
            (way == Way::both ? net : way == Way::in ? in : out).push_back(candidate);
        }
        if (!net.empty()) {
            m_.current = in_unit(best(net, "current"), Quantity::current);
        } else if (!out.empty()) {
            m_.discharge = in_unit(out[0].column, Quantity::current);
            if (!in.empty()) m_.current = in_unit(in[0].column, Quantity::current);
            // A column of what leaves may be negative already.
            if (sum_of(*out[0].column) < 0.0) m_.discharge->scale = -m_.discharge->scale;
            note(in.empty() ? fmt::format("{} is taken as what leaves the battery", in_quotes(out[0].column->id))
                            : fmt::format("the current is {} less {}", in_quotes(in[0].column->id),
                                          in_quotes(out[0].column->id)));
        } else if (!in.empty()) {
            m_.current = in_unit(in[0].column, Quantity::current);
        }
    }

    double sum_of(const SampleColumn& column) const {
        double sum = 0.0;
        for (const auto& cell : column.cells)
            if (const auto number = number_in(cell, m_.decimal_comma)) sum += number->value;
        return sum;
    }

    void find_drop_or_power() {
        if (const auto drop = candidates(Quantity::shunt_drop); !drop.empty()) {
            const auto& id = drop[0].column->id;
            if (system_ != nullptr && !system_->meters.empty() && system_->meters[0].rated_drop.known()) {
                const Meter& meter = system_->meters[0];
                m_.current = ValueColumn{id, meter.current(Volt(0.001)).value(), 0.0};
                return note(fmt::format("{} is taken as millivolts at the shunt of {} A / {} mV", in_quotes(id),
                                        meter.rated_current.value(), meter.rated_drop.value() * 1000.0));
            }
            return doubt(
                fmt::format("{} needs the shunt's rated pair: give rated_current_a and rated_drop_mv of a [[meter]] in "
                            "the description, and name it with --system",
                            in_quotes(id)));
        }
        if (const auto power = candidates(Quantity::power); !power.empty() && m_.voltage) {
            m_.power = in_unit(best(power, "power"), Quantity::power);
            note(fmt::format("the current is {} divided by the voltage", in_quotes(power[0].column->id)));
        }
    }

    /// Without names: a voltage lies where the battery's does and moves little; the current is the other column whose
    /// steps it follows, or the one that has both signs.
    void guess_values_by_figures() {
        doubt("it has no header that names the columns; they were guessed by their figures");
        std::vector<Column> numeric;
        for (const auto& column : sample_.columns)
            if (!is_time(column) && is_numeric(column)) numeric.push_back(&column);
        Column volts = nullptr;
        for (const Column column : numeric) {
            Mapping trial = m_;
            trial.voltage = ValueColumn{column->id};
            const auto verdict = judge_voltage(readings_by(trial), system_, false);
            if (volts == nullptr && trial.complete() && verdict.sure && sum_of(*column) > 0.0) volts = column;
        }
        if (volts != nullptr) m_.voltage = ValueColumn{volts->id};
        for (const Column column : numeric) {
            if (column == volts) continue;
            const bool below = std::ranges::any_of(column->cells, [&](const auto& cell) {
                const auto number = number_in(cell, m_.decimal_comma);
                return number && number->value < 0.0;
            });
            Mapping trial = m_;
            trial.current = ValueColumn{column->id};
            if (!m_.current && (below || (trial.complete() && resistance_in(readings_by(trial)))))
                m_.current = trial.current;
        }
    }

    // ---- units and signs

    std::vector<Reading> readings_by(const Mapping& mapping) const {
        auto reader = LogReader::open(source::memory_input(text_), mapping);
        if (!reader) return {};
        auto readings = reader->next(readings_looked_at);
        return readings ? std::move(*readings) : std::vector<Reading>{};
    }

    bool has_whole_numbers(const ValueColumn& value) const {
        const auto column = std::ranges::find(sample_.columns, value.column, &SampleColumn::id);
        return column != sample_.columns.end() && std::ranges::none_of(column->cells, [](const auto& cell) {
                   return cell.find('.') != std::string::npos ||
                          (cell.find(',') != std::string::npos && !may_be_grouped(cell));
               });
    }

    void heed(const ScaleVerdict& verdict) {
        if (verdict.said.empty()) return;
        (verdict.sure ? p_.notes : p_.doubts).push_back(verdict.said);
    }

    void find_scales() {
        const auto readings = readings_by(m_);
        const bool volts_named = names_unit(m_.voltage, Quantity::voltage);
        double volts_factor = 1.0;
        if (m_.voltage) {
            const auto verdict = judge_voltage(readings, system_, volts_named);
            heed(verdict);
            volts_factor = verdict.factor;
            scale(m_.voltage, verdict.factor);
        }
        if (m_.temperature) {
            const auto verdict = judge_temperature(readings, names_unit(m_.temperature, Quantity::temperature));
            heed(verdict);
            if (verdict.fahrenheit) m_.temperature = ValueColumn{m_.temperature->column, 5.0 / 9.0, -160.0 / 9.0};
        }
        const auto& amperes = m_.current ? m_.current : m_.discharge;
        if (!amperes || m_.power) return;
        const bool named = names_unit(amperes, Quantity::current) || fit_of(amperes->column, Quantity::shunt_drop) > 0;
        const bool whole = has_whole_numbers(*amperes);
        auto scaled = readings;
        for (Reading& reading : scaled) reading.voltage = reading.voltage * volts_factor;
        auto verdict = judge_current(scaled, system_, named, whole);
        const bool odd_volts = volts_factor == 0.01 || volts_factor == 0.1;
        if (odd_volts && !volts_named && !named && whole)
            verdict = {volts_factor, false, "the voltages are not in V: in which unit are the currents?", false};
        heed(verdict);
        scale(m_.current, verdict.factor);
        scale(m_.discharge, verdict.factor);
    }

    static void scale(std::optional<ValueColumn>& value, double factor) {
        if (value && factor != 1.0) value->scale = factor == 1000.0 ? value->scale * 1000.0 : value->scale * factor;
    }

    /// A column of words beside a current that is never negative.
    void find_direction() {
        if (!m_.current || m_.discharge) return;
        for (const Reading& reading : readings_by(m_))
            if (reading.current.value() < 0.0) return;
        for (const auto& column : sample_.columns) {
            if (is_time(column) || is_numeric(column) || column.cells.empty()) continue;
            const std::set<std::string> words(column.cells.begin(), column.cells.end());
            if (words.size() > 12) continue;
            WordColumn out{column.id, {}};
            bool others = true;
            for (const auto& word : words) {
                if (says_out(word)) out.words.push_back(word);
                others = others && (word.empty() || says_out(word) || says_in(word));
            }
            if (out.words.empty() || !others) continue;
            note(fmt::format("the current leaves the battery where {} says {}", in_quotes(column.id),
                             in_quotes(fmt::format("{}", fmt::join(out.words, ", ")))));
            m_.out_when = std::move(out);
            return;
        }
    }

    void find_sign() {
        SignCheck sign;
        for (const Reading& reading : readings_by(m_)) sign.push(reading);
        p_.sign = sign.verdict();
        const bool ours = m_.current && lower_case(m_.current->column) == "current_a";
        if (p_.sign != SignVerdict::reversed) return;
        const auto words = fmt::format(
            "the voltage rises when the current falls (correlation {:.2f} over {} steps), the wrong "
            "way round for a current that is positive into the battery",
            sign.correlation(), sign.steps());
        if (ours && sign.correlation() > sure_against_our_name) return doubt("Doubt about the sign: " + words);
        for (auto* value : {&m_.current, &m_.discharge, &m_.power})
            if (*value) (*value)->scale = -(*value)->scale;
        note("The sign of the current was turned: " + words);
    }

    std::string_view text_;
    const System* system_;
    LogSample sample_;
    Proposal& p_;
    Mapping& m_;
    std::string turned_;
};

}  // namespace

std::expected<Proposal, std::string> propose(std::string_view beginning, const System* system,
                                             const std::string& zone) {
    Proposal proposal;
    proposal.mapping.zone = zone;
    auto sample = look_at(beginning, proposal.mapping);
    if (!sample) return std::unexpected(sample.error());
    Look(beginning, system, std::move(*sample), proposal).find_everything();
    return proposal;
}

}  // namespace amphora::intake
