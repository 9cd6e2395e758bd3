#include <fmt/core.h>
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "io/intake/cells.hpp"
#include "io/intake/column_words.hpp"
#include "io/intake/log_reader.hpp"
#include "io/intake/look.hpp"
#include "io/intake/scale_check.hpp"

namespace amphora::intake {
namespace {

constexpr double sure_against_our_name = -0.8;  // correlation at which even a column named current_a is turned

class Units {
public:
    explicit Units(Look& look) : look_(look), m_(look.mapping()) {}

    void find() {
        find_scales();
        find_direction();
        find_sign();
    }

private:
    using Column = const SampleColumn*;

    /// The name, or every cell, says the unit.
    bool names_unit(const std::optional<ValueColumn>& value, Quantity quantity) const {
        if (!value) return false;
        const auto column = std::ranges::find(look_.columns(), value->column, &SampleColumn::id);
        if (column == look_.columns().end()) return false;
        if (unit_in(column->name, quantity)) return true;
        return std::ranges::any_of(column->cells, [&](const auto& cell) {
            const auto number = number_in(cell, m_.decimal_comma);
            return number && number->unit;
        });
    }

    bool has_whole_numbers(const ValueColumn& value) const {
        const auto column = std::ranges::find(look_.columns(), value.column, &SampleColumn::id);
        return column != look_.columns().end() && std::ranges::none_of(column->cells, [](const auto& cell) {
                   return cell.find('.') != std::string::npos ||
                          (cell.find(',') != std::string::npos && !may_be_grouped(cell, ','));
               });
    }

    void heed(const ScaleVerdict& verdict) {
        if (verdict.said.empty()) return;
        (verdict.sure ? look_.proposal().notes : look_.proposal().doubts).push_back(verdict.said);
    }

    void find_scales() {
        const auto readings = look_.readings_by(m_);
        const bool volts_named = names_unit(m_.voltage, Quantity::voltage);
        double volts_factor = 1.0;
        if (m_.voltage) {
            const auto verdict = judge_voltage(readings, look_.system(), volts_named);
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
        auto verdict = judge_current(scaled, look_.system(), named, whole);
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
        for (const Reading& reading : look_.readings_by(m_))
            if (reading.current.value() < 0.0) return;
        for (const auto& column : look_.columns()) {
            if (look_.is_time(column) || look_.is_numeric(column) || column.cells.empty()) continue;
            const std::set<std::string> words(column.cells.begin(), column.cells.end());
            if (words.size() > 12) continue;
            WordColumn out{column.id, {}};
            bool others = true;
            for (const auto& word : words) {
                if (says_out(word)) out.words.push_back(word);
                others = others && (word.empty() || says_out(word) || says_in(word));
            }
            if (out.words.empty() || !others) continue;
            look_.note(fmt::format("the current leaves the battery where {} says {}", in_quotes(column.id),
                                   in_quotes(fmt::format("{}", fmt::join(out.words, ", ")))));
            m_.out_when = std::move(out);
            return;
        }
    }

    void find_sign() {
        SignCheck sign;
        for (const Reading& reading : look_.readings_by(m_)) sign.push(reading);
        look_.proposal().sign = sign.verdict();
        const bool ours = m_.current && lower_case(m_.current->column) == "current_a";
        if (look_.proposal().sign == SignVerdict::unclear && !ours && m_.voltage)
            look_.note(
                "whether the current has the right sign cannot be told from this: negative is out of the battery");
        if (look_.proposal().sign == SignVerdict::undirected)
            look_.doubt(
                "the current is never negative, yet the voltage falls with it as often as it rises: which way it flows "
                "is not in this column. If another tells, say in a mapping file which, as in out_when = { column = "
                "\"State\", words = [\"discharging\"] }");
        if (look_.proposal().sign != SignVerdict::reversed) return;
        const auto words = fmt::format(
            "the voltage rises when the current falls (correlation {:.2f} over {} steps), the wrong "
            "way round for a current that is positive into the battery",
            sign.correlation(), sign.steps());
        if (ours && sign.correlation() > sure_against_our_name) return look_.doubt("Doubt about the sign: " + words);
        for (auto* value : {&m_.current, &m_.discharge, &m_.power})
            if (*value) (*value)->scale = -(*value)->scale;
        look_.note("The sign of the current was turned: " + words);
    }

    Look& look_;
    Mapping& m_;
};

}  // namespace

void find_units(Look& look) { Units(look).find(); }

}  // namespace amphora::intake
