#include <fmt/core.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "io/intake/cells.hpp"
#include "io/intake/column_words.hpp"
#include "io/intake/look.hpp"
#include "io/intake/scale_check.hpp"
#include "io/source/bad_line.hpp"

namespace amphora::intake {
namespace {

class Columns {
public:
    explicit Columns(Look& look) : look_(look), m_(look.mapping()) {}

    void find() {
        if (!m_.series) find_meters();  // a series has no column beside it that could tell meters apart
        if (look_.has_names())
            find_values();
        else
            guess_values_by_figures();
        if (!m_.has_values())
            look_.doubt(
                fmt::format("neither current nor voltage was found among the columns {}", look_.names_of_columns()));
    }

private:
    using Column = const SampleColumn*;

    /// A column that names the meter of each line.
    void find_meters() {
        for (const auto& column : look_.columns()) {
            if (look_.is_time(column) || !names_meters(column.name)) continue;
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
                look_.note(fmt::format("there are several meters in {} ({}): {} is taken", in_quotes(column.id), list,
                                       in_quotes(batteries.front())));
            else
                look_.doubt(
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
        for (const auto& column : look_.columns()) {
            const int fit = fit_of(column.name, quantity);
            if (fit > 0 && !look_.is_time(column) && look_.is_numeric(column)) found.push_back({&column, fit});
        }
        std::ranges::stable_sort(found, std::greater{}, &Candidate::fit);
        return found;
    }

    static ValueColumn in_unit(Column column, Quantity quantity) {
        const Unit unit = unit_in(column->name, quantity).value_or(Unit{});
        return {column->id, unit.scale, unit.offset};
    }
    /// The best of the candidates; a doubt when another is as good and holds other figures.
    Column best(const std::vector<Candidate>& found, Quantity quantity, const char* what) {
        if (found.empty()) return nullptr;
        if (found.size() > 1 && found[1].fit == found[0].fit && !alike(found[0].column, found[1].column, quantity))
            look_.doubt(fmt::format("{} and {} could both be the battery's {}; name the right one in a mapping file",
                                    in_quotes(found[0].column->id), in_quotes(found[1].column->id), what));
        return found[0].column;
    }

    /// Whether two columns hold nearly the same figures.
    bool alike(Column a, Column b, Quantity quantity) const {
        const double a_scale = in_unit(a, quantity).scale;
        const double b_scale = in_unit(b, quantity).scale;
        double differ = 0.0;
        double size = 0.0;
        for (std::size_t i = 0; i < std::min(a->cells.size(), b->cells.size()); ++i) {
            const auto x = number_in(a->cells[i], m_.decimal_comma);
            const auto y = number_in(b->cells[i], m_.decimal_comma);
            if (!x || !y) continue;
            differ += std::abs(x->value * a_scale - y->value * b_scale);
            size += std::abs(x->value * a_scale);
        }
        return differ <= 0.02 * size;
    }

    void find_values() {
        find_current();
        if (const auto column = best(candidates(Quantity::voltage), Quantity::voltage, "voltage"))
            m_.voltage = in_unit(column, Quantity::voltage);
        const auto warm = candidates(Quantity::temperature);
        if (!warm.empty()) m_.temperature = in_unit(warm[0].column, Quantity::temperature);
        if (!m_.current && !m_.discharge) find_drop_or_power();
        if (!m_.current && !m_.discharge && !m_.power && m_.voltage) say_missing(Quantity::current, "current");
        if (!m_.voltage && m_.has_values()) say_missing(Quantity::voltage, "voltage");
    }

    /// One that is called so but holds no numbers is a reason to ask.
    void say_missing(Quantity quantity, const char* what) {
        for (const auto& column : look_.columns()) {
            const auto filled =
                std::ranges::find_if(column.cells, [](const auto& cell) { return !says_nothing(cell); });
            if (fit_of(column.name, quantity) <= 0 || look_.is_time(column) || filled == column.cells.end()) continue;
            return look_.doubt(fmt::format("{} seems to be the battery's {}, but its cells are no numbers, such as {}",
                                           in_quotes(column.id), what, in_quotes(*filled)));
        }
        look_.note(fmt::format("no column of the {} was found", what));
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
            m_.current = in_unit(best(net, Quantity::current, "current"), Quantity::current);
        } else if (!out.empty()) {
            m_.discharge = in_unit(out[0].column, Quantity::current);
            if (!in.empty()) m_.current = in_unit(in[0].column, Quantity::current);
            // A column of what leaves may be negative already.
            if (sum_of(*out[0].column) < 0.0) m_.discharge->scale = -m_.discharge->scale;
            look_.note(in.empty() ? fmt::format("{} is taken as what leaves the battery", in_quotes(out[0].column->id))
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
            if (look_.system() != nullptr && !look_.system()->meters.empty() &&
                look_.system()->meters[0].rated_drop.known()) {
                const Meter& meter = look_.system()->meters[0];
                m_.current = ValueColumn{id, meter.current(Volt(0.001)).value(), 0.0};
                return look_.note(fmt::format("{} is taken as millivolts at the shunt of {} A / {} mV", in_quotes(id),
                                              meter.rated_current.value(), meter.rated_drop.value() * 1000.0));
            }
            return look_.doubt(
                fmt::format("{} needs the shunt's rated pair: give rated_current_a and rated_drop_mv of a [[meter]] in "
                            "the description, and name it with --system",
                            in_quotes(id)));
        }
        if (const auto power = candidates(Quantity::power); !power.empty() && m_.voltage) {
            m_.power = in_unit(best(power, Quantity::power, "power"), Quantity::power);
            look_.note(fmt::format("the current is {} divided by the voltage", in_quotes(power[0].column->id)));
        }
    }

    /// Without names: a voltage lies where the battery's does and moves little; the current is the other column whose
    /// steps it follows, or the one that has both signs.
    void guess_values_by_figures() {
        look_.doubt("it has no header that names the columns; they were guessed by their figures");
        std::vector<Column> numeric;
        for (const auto& column : look_.columns())
            if (!look_.is_time(column) && look_.is_numeric(column)) numeric.push_back(&column);
        Column volts = nullptr;
        for (const Column column : numeric) {
            Mapping trial = m_;
            trial.voltage = ValueColumn{column->id};
            const auto verdict = judge_voltage(look_.readings_by(trial), look_.system(), false);
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
            if (!m_.current && (below || (trial.complete() && resistance_in(look_.readings_by(trial)))))
                m_.current = trial.current;
        }
    }

    Look& look_;
    Mapping& m_;
};

}  // namespace

void find_columns(Look& look) { Columns(look).find(); }

}  // namespace amphora::intake
