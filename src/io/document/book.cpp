#include "io/document/book.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

#include "core/design/caution.hpp"
#include "core/design/chemistry_limits.hpp"
#include "core/design/load.hpp"
#include "core/design/parts.hpp"
#include "core/design/words.hpp"
#include "io/document/budget_chart.hpp"
#include "io/document/commissioning.hpp"
#include "io/document/diagram.hpp"
#include "io/document/flow.hpp"

namespace amphora::document {
namespace {

using design::digits;
using design::percent;
using design::words;

std::string or_dash(const std::string& text) { return text.empty() ? "–" : text; }

std::string joined(const std::vector<std::string>& parts) {
    std::string out;
    for (const std::string& p : parts) out += (out.empty() ? "" : "; ") + p;
    return or_dash(out);
}

std::string autonomy_words(double fewest, double most) {
    if (most - fewest < 0.1) return fmt::format("{:.1f} days down to the reserve", most);
    return fmt::format("{:.1f} to {:.1f} days down to the reserve, by month", fewest, most);
}

/// What a person standing before the cupboard wants to know first.
std::vector<std::vector<std::string>> at_a_glance(const BookContent& c) {
    const auto& plan = c.plan;
    const auto& b = plan.bank.battery;
    std::vector<std::string> chargers;
    for (const auto& g : plan.chargers) chargers.push_back(fmt::format("{}, {}", g.name, words(g.current)));
    std::vector<std::string> inverters;
    for (const auto& i : plan.inverters) inverters.push_back(fmt::format("{}, {}", i.name, words(i.power)));
    std::vector<std::string> shunts;
    for (const auto& s : plan.shunts) {
        if (s.in_use && s.rating.known())
            shunts.push_back(fmt::format("{}, {} / {}", s.name, words(s.rating), design::millivolts(s.rated_drop)));
    }
    std::vector<std::string> fuses;
    for (const auto& circuit : plan.circuits) {
        if (parent_of(plan, circuit) != nullptr || !circuit.protection) continue;
        fuses.push_back(fmt::format("{}, {} {}", circuit.name, words(circuit.protection->rating),
                                    design::data(circuit.protection->kind).words));
    }
    const auto [fewest, most] = std::ranges::minmax(c.budget.days_of_battery);
    std::vector<std::vector<std::string>> rows{
        {"battery",
         fmt::format("{} of {}, {} cells in series, {} {}", words(b.design_capacity), design::limits(b.chemistry).words,
                     b.cells_in_series, plan.bank.strings, plan.bank.strings == 1 ? "string" : "strings in parallel")},
        {"fuses at the battery", joined(fuses)},
        {"chargers", joined(chargers)},
        {"inverter", joined(inverters)},
        {"shunt", joined(shunts)}};
    if (!plan.appliances.empty()) {
        rows.push_back({"without any charging", autonomy_words(fewest, most)});
        rows.push_back({"battery worn out in",
                        fmt::format("{:.0f} to {:.0f} years, with {:.0f} full cycles a year", c.outcome.wear.years_low,
                                    c.outcome.wear.years_high, c.outcome.wear.full_cycles_a_year)});
    }
    return rows;
}

void summary(Flow& flow, const BookContent& c) {
    const auto& b = c.plan.bank.battery;
    flow.title(c.plan.name);
    flow.paragraph(fmt::format(
        "{} V nominal; battery of {}, of which {} are kept in reserve; {} circuits, {} appliances, {} chargers.",
        digits(c.plan.nominal.value()), words(b.design_capacity), percent(b.reserve.value()), c.plan.circuits.size(),
        c.plan.appliances.size(), c.plan.chargers.size()));
    const auto worst = std::ranges::max_element(c.outcome.months, {}, &design::MonthOutcome::runs_dry);
    if (!c.plan.appliances.empty()) {
        const auto m = static_cast<std::size_t>(worst - c.outcome.months.begin());
        const std::string dry =
            c.outcome.any_dry > 0.0
                ? fmt::format(
                      "In {} simulated years it ran dry in {:.0f} % of them; the hardest month is {} ({:.0f} %).",
                      c.outcome.years_simulated, c.outcome.any_dry * 100.0, design::month_names.at(m),
                      worst->runs_dry * 100.0)
                : fmt::format("In {} simulated years it never ran dry.", c.outcome.years_simulated);
        flow.paragraph(
            fmt::format("A mean day takes {:.0f} Wh in June and {:.0f} Wh in December, charging losses included. {}",
                        c.budget.used[5].value(), c.budget.used[11].value(), dry));
    }
    const auto count = [&](design::Severity s) {
        return std::ranges::count(c.findings, s, &design::Finding::severity);
    };
    flow.paragraph(
        fmt::format("The check of this plan: dangers {}, warnings {}, notes {}; see Findings.",
                    count(design::Severity::danger), count(design::Severity::warning), count(design::Severity::note)),
        count(design::Severity::danger) > 0 ? alarm : ink);
    flow.heading("At a glance");
    flow.table({{"", 1.0}, {"", 3.0}}, at_a_glance(c));
    flow.heading("Cautions");
    for (const std::string& line : design::cautions_for(c.plan)) flow.item(line);
}

void diagram(Canvas& sheet, Flow& flow, const BookContent& c) {
    const DiagramLayout layout = lay_out(c.plan, c.variant);
    flow.heading("Wiring diagram");
    const double highest = sheet.page().height - 55.0;
    const double scale = std::min({1.0, flow.width() / layout.size.width, highest / layout.size.height});
    const double top = flow.room(layout.size.height * scale);
    sheet.place(flow.left(), top, scale);
    draw(sheet, layout);
    sheet.restore();
}

void energy(Canvas& sheet, Flow& flow, const BookContent& c) {
    if (c.plan.appliances.empty()) return;
    flow.heading("What a day takes and gives");
    const double top = flow.room(72.0);
    draw_budget(sheet, flow.left(), top, {flow.width(), 70.0}, c.budget);
    std::vector<std::vector<std::string>> rows;
    for (std::size_t m = 0; m < 12; ++m) {
        const auto& o = c.outcome.months.at(m);
        rows.push_back({design::month_names.at(m), fmt::format("{:.0f}", c.budget.used.at(m).value()),
                        fmt::format("{:.0f}", c.budget.given.at(m).value()),
                        fmt::format("{:.1f}", c.budget.days_of_battery.at(m)),
                        fmt::format("{:.1f} ± {:.1f} %", o.runs_dry * 100.0, o.runs_dry_sd * 100.0),
                        fmt::format("{:.0f} – {:.0f} %", o.lowest.low * 100.0, o.lowest.high * 100.0)});
    }
    flow.table({{"month", 1.3},
                {"takes, Wh a day", 1.2},
                {"gives, Wh a day", 1.2},
                {"days of battery alone", 1.3},
                {"chance to run dry", 1.4},
                {"lowest charge, 5 – 95 %", 1.5}},
               rows);
    flow.paragraph(c.plan.climate.given ? "Sun: " + c.plan.climate.source + "."
                                        : "No place is described, so the sun gives nothing here.");
}

void cables(Flow& flow, const BookContent& c) {
    std::vector<std::vector<std::string>> rows;
    for (const auto& circuit : c.plan.circuits) {
        if (!circuit.run) continue;
        const Ampere load = load_of(c.plan, circuit, design::Reckoning::installed).greatest();
        const design::Ampacity can = design::ampacity(circuit.run->size, circuit.run->laying);
        const Volt lost = design::voltage_drop(*circuit.run, load);
        rows.push_back({circuit.name, circuit.from, design::name(circuit.run->size), words(circuit.run->one_way),
                        words(load), words(can.corrected()),
                        fmt::format("{} ({})", words(lost), percent(lost / c.plan.nominal)),
                        words(circuit.run->laying.insulation)});
    }
    if (rows.empty()) return;
    flow.heading("Cables");
    flow.table({{"circuit", 1.5},
                {"from", 1.1},
                {"size", 0.9},
                {"one way", 0.8},
                {"load", 0.8},
                {"carries", 0.9},
                {"lost, there and back", 1.4},
                {"insulation", 0.9}},
               rows);
}

void fuses(Flow& flow, const BookContent& c) {
    std::vector<std::vector<std::string>> rows;
    for (const auto& circuit : c.plan.circuits) {
        if (!circuit.protection) continue;
        const auto& p = *circuit.protection;
        rows.push_back({circuit.name, words(p.rating), std::string(design::data(p.kind).words),
                        words(p.capacity(c.plan.nominal)), words(p.withstands()),
                        p.from_source.known() ? words(p.from_source) : "not said",
                        words(fault_current(c.plan, circuit))});
    }
    if (rows.empty()) return;
    flow.heading("Fuses and breakers");
    flow.table({{"circuit", 1.5},
                {"rating", 0.8},
                {"kind", 1.7},
                {"breaks", 0.9},
                {"up to", 0.7},
                {"from source", 1.0},
                {"short circuit there", 1.2}},
               rows);
    flow.paragraph("Where a short circuit is more than a fuse breaks by itself, a fuse before it has to break it.");
}

void parts(Flow& flow, const BookContent& c) {
    const std::vector<design::Part> list = design::parts_of(c.plan);
    if (list.empty()) return;
    std::vector<std::vector<std::string>> rows;
    double sum = 0.0;
    bool all_priced = true;
    for (const design::Part& p : list) {
        rows.push_back({p.name, p.quantity, p.price.known() ? fmt::format("{:.2f}", p.price.value()) : "–"});
        if (p.price.known()) sum += p.price.value();
        all_priced = all_priced && p.price.known();
    }
    flow.heading("Parts");
    flow.table({{"part", 3.5}, {"quantity", 1.2}, {"price, " + c.plan.currency, 1.0}}, rows);
    flow.paragraph(fmt::format("Sum of the prices given: {:.2f} {}{}.", sum, c.plan.currency,
                               all_priced ? "" : "; parts without a price are not in it"));
}

void settings(Flow& flow, const BookContent& c) {
    flow.heading("Settings of meter and chargers");
    std::vector<std::vector<std::string>> rows;
    for (const Setting& s : meter_settings(c.plan, c.system)) rows.push_back({s.what, s.value, s.why});
    flow.table({{"setting, in generic words", 1.6}, {"value", 1.0}, {"why", 2.4}}, rows);
}

void commissioning(Flow& flow, const BookContent& c) {
    flow.heading("Before and after switching on");
    for (const std::string& step : commissioning_steps(c.plan)) flow.item(step, true);
}

void findings(Flow& flow, const BookContent& c) {
    flow.heading("Findings");
    if (c.findings.empty()) flow.paragraph("The check found nothing to say about this plan.");
    for (const auto& f : c.findings) {
        const char* severity = f.severity == design::Severity::danger    ? "Danger"
                               : f.severity == design::Severity::warning ? "Warning"
                                                                         : "Note";
        flow.paragraph(fmt::format("{}, {}: {}", severity, f.subject, f.sentence),
                       f.severity == design::Severity::danger ? alarm : ink);
        flow.item("Mend: " + or_dash(f.mend));
        flow.item("Rule: " + f.source);
    }
}

void sources(Flow& flow, const BookContent& c) {
    flow.heading("Sources");
    std::set<std::string> all{
        "IEC 60228:2004 and IEC 60287-1-1: resistance of copper conductors",
        "ASTM B258: American wire gauge",
        "33 CFR 183.425 and 183.455 (United States): conductors and overcurrent protection in boats",
        "ISO 10133:2012: small craft, extra-low-voltage systems (ampacity table from memory)",
        "FAO Irrigation and Drainage Paper 56; Erbs, Klein and Duffie 1982; Collares-Pereira and Rabl 1979: the sun",
        "Bendt, Collares-Pereira and Rabl 1981; Graham, Hollands and Unny 1988: bright and dull days",
        "Manwell and McGowan 1993: two-well battery; Naumann et al. 2018 and 2020; ASTM E1049-85: wear"};
    for (const auto& f : c.findings) all.insert(f.source);
    for (const std::string& s : all) flow.item(s);
}

}  // namespace

std::expected<void, std::string> write_book(const BookContent& content, const std::filesystem::path& file) {
    if (file.extension() != ".pdf")
        return std::unexpected(fmt::format("{}: expected a file name that ends in .pdf", file.string()));
    auto sheet = Canvas::create(file, a4);
    if (!sheet) return std::unexpected(sheet.error());
    Flow flow(*sheet,
              content.plan.name + ": a check of a plan, not a certificate. Local codes and licensed practice win.");
    summary(flow, content);
    const Size layout = lay_out(content.plan, content.variant).size;
    flow.new_page(layout.width > layout.height ? a4_turned : a4);
    diagram(*sheet, flow, content);
    flow.new_page();
    energy(*sheet, flow, content);
    cables(flow, content);
    fuses(flow, content);
    parts(flow, content);
    settings(flow, content);
    commissioning(flow, content);
    findings(flow, content);
    sources(flow, content);
    flow.finish();
    return sheet->finish();
}

}  // namespace amphora::document
