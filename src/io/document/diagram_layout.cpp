#include "io/document/diagram_layout.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "core/design/chemistry_limits.hpp"
#include "core/design/sizing.hpp"
#include "core/design/words.hpp"
#include "io/document/diagram_tree.hpp"

namespace amphora::document {
namespace {

using design::Plan;

constexpr double margin = 8.0;
constexpr double title_room = 16.0;
constexpr double row = 15.0;
constexpr double text_height = 2.7;
constexpr double fuse_room = 9.0;
constexpr double contact_room = 9.0;

/// Gives each leaf a row and each bar the middle of its children; returns the first free row.
double give_rows(std::vector<Branch>& branches, int depth, double y, int& deepest) {
    for (Branch& b : branches) {
        b.depth = depth;
        deepest = std::max(deepest, depth);
        if (!b.is_bar) {
            b.y = y;
            y += row;
            continue;
        }
        y = give_rows(b.children, depth + 1, y, deepest);
        b.y = (b.children.front().y + b.children.back().y) / 2.0;
    }
    return y;
}

double room_for(const Branch& b) {
    double texts = std::max(
        {text_width(b.above, text_height, true), text_width(b.below, text_height), text_width(b.fuse, text_height)});
    if (b.above.empty() && b.below.empty()) texts = 4.0;
    return texts + (b.has_fuse ? fuse_room + text_width(b.fuse, text_height) + 3.0 : 0.0) +
           (b.contact ? contact_room : 0.0) + 8.0;
}

void widen(const std::vector<Branch>& branches, std::vector<double>& widths) {
    for (const Branch& b : branches) {
        double& w = widths[static_cast<std::size_t>(b.depth)];
        w = std::max(w, room_for(b));
        widen(b.children, widths);
    }
}

Label label(double x, double y, std::string text, bool strong = false, double height = text_height) {
    const double width = text_width(text, height, strong);
    return {x, y, width, height, std::move(text), strong};
}

class Composer {
public:
    Composer(DiagramLayout& out, std::vector<double> starts, double consumers)
        : out_(out), starts_(std::move(starts)), consumers_(consumers) {}

    void put(const Branch& b) {
        const double x0 = starts_[static_cast<std::size_t>(b.depth)];
        const double x1 = b.is_bar ? starts_[static_cast<std::size_t>(b.depth) + 1] : consumers_;
        Wire w{.x0 = x0, .y = b.y, .x1 = x1};
        double text_x = x0 + 3.0;
        if (b.has_fuse) {
            (b.breaker ? w.breaker_at : w.fuse_at) = text_x + fuse_room / 2.0;
            text_x += fuse_room + 1.5;
            out_.labels.push_back(label(x0 + 3.0, b.y - 2.6, b.fuse));
            text_x = std::max(text_x, x0 + 3.0 + text_width(b.fuse, text_height) + 3.0);
        }
        if (b.contact) {  // behind the fuse: what leads to the relay is protected
            w.contact_at = text_x + contact_room / 2.0;
            text_x += contact_room + 1.0;
        }
        if (!b.above.empty()) out_.labels.push_back(label(text_x, b.y - 1.4, b.above, true));
        if (!b.below.empty()) out_.labels.push_back(label(text_x, b.y + 1.4 + text_height, b.below));
        out_.wires.push_back(w);
        if (b.is_bar) {
            out_.bars.push_back({x1, b.children.front().y - 3.0, b.children.back().y + 3.0, false});
            for (const Branch& child : b.children) put(child);
            return;
        }
        Consumer c{.x = consumers_, .y = b.y, .symbol = b.symbol, .negative = b.negative};
        const double words_x = consumers_ + symbol_width + 2.0;
        out_.labels.push_back(label(words_x, b.y - 1.4, b.consumer, true));
        if (!b.detail.empty()) out_.labels.push_back(label(words_x, b.y + 1.4 + text_height, b.detail));
        c.end = words_x + std::max(text_width(b.consumer, text_height, true), text_width(b.detail, text_height)) + 2.0;
        if (!b.meter.empty()) {
            c.shunt_at = c.end + 7.0;
            out_.labels.push_back(label(c.end, b.y - 2.8, b.meter));
            c.end += std::max(15.0, text_width(b.meter, text_height) + 2.0);
        }
        out_.consumers.push_back(c);
    }

private:
    DiagramLayout& out_;
    std::vector<double> starts_;
    double consumers_;
};

constexpr double beside_battery = 8.0;

std::vector<std::string> battery_words(const Plan& plan) {
    const auto& bank = plan.bank;
    const design::ChemistryLimits& chem = design::limits(bank.battery.chemistry);
    std::vector<std::string> lines{design::words(bank.battery.design_capacity), chem.words,
                                   design::words(chem.nominal * bank.battery.cells_in_series)};
    if (bank.strings > 1) lines.push_back(fmt::format("{} strings", bank.strings));
    return lines;
}

/// Room between the left edge and the first bar.
double battery_room(const Plan& plan) {
    double widest = 0.0;
    for (const std::string& words : battery_words(plan))
        widest = std::max(widest, text_width(words, text_height, true));
    return beside_battery + 8.0 + widest + 5.0;
}

void add_battery(const Plan& plan, DiagramLayout& out, double connection) {
    out.battery_x = margin + beside_battery;
    out.battery_top = connection + 10.0;
    out.battery_foot = out.battery_top + 9.0;
    double y = out.battery_top + 0.5;
    bool first = true;
    for (std::string& words : battery_words(plan)) {
        out.labels.push_back(label(out.battery_x + 8.0, y, std::move(words), first));
        first = false;
        y += 4.0;
    }
}

void add_shunt(const Plan& plan, DiagramLayout& out) {
    const auto used = std::ranges::find_if(
        plan.shunts, [&](const design::Shunt& s) { return s.in_use && !has_circuit(plan, s.circuit); });
    if (used == plan.shunts.end()) return;
    out.shunt_x = out.battery_x + 14.0;
    std::string rating = used->rating.known() && used->rated_drop.known()
                             ? fmt::format("{} / {}", design::words(used->rating), design::millivolts(used->rated_drop))
                             : "";
    out.labels.push_back(label(out.shunt_x + 9.0, out.return_y - 2.0, used->name, true));
    if (!rating.empty())
        out.labels.push_back(label(out.shunt_x + 9.0, out.return_y + 1.6 + text_height, std::move(rating)));
}

/// The wires that no circuit names: what all come back by carries what the thickest carries, or more.
void label_return(const Plan& plan, DiagramLayout& out) {
    const design::Run* thickest = nullptr;
    for (const auto& c : plan.circuits) {
        if (c.from != "battery" || !c.run) continue;
        if (thickest == nullptr || c.run->size.area > thickest->size.area) thickest = &*c.run;
    }
    if (thickest == nullptr) return;
    const std::string size =
        fmt::format("{} at least; each other negative as its positive, and as long", design::name(thickest->size));
    const double width = text_width(size, text_height);
    const double x = std::max(out.negative_x - width - 4.0, out.shunt_x + 50.0);
    out.labels.push_back(label(x, out.return_y - 2.0, "negative, back to the battery", true));
    out.labels.push_back(label(x, out.return_y + 1.6 + text_height, size));
}

/// What hangs on no circuit has no place in the picture, and must not be taken for absent.
std::string not_drawn(const Plan& plan) {
    constexpr int most = 3;
    std::string names;
    int count = 0;
    const auto look = [&](const std::string& name, const std::string& circuit) {
        if (std::ranges::find(plan.circuits, circuit, &design::Circuit::name) != plan.circuits.end()) return;
        if (++count <= most) names += (names.empty() ? "" : ", ") + name;
    };
    for (const auto& a : plan.appliances) {
        if (a.feed == design::Feed::battery) look(a.name, a.circuit);
    }
    for (const auto& i : plan.inverters) look(i.name, i.circuit);
    for (const auto& c : plan.chargers) look(c.name, c.circuit);
    if (count == 0) return "";
    return "Not drawn, on no circuit: " + names + (count > most ? fmt::format(" and {} more", count - most) : "") + ".";
}

}  // namespace

DiagramLayout lay_out(const Plan& described, Variant variant) {
    DiagramLayout out;
    const Plan plan = with_bars(described, variant);
    std::vector<Branch> roots = tree(plan);
    int deepest = 0;
    const double first = title_room + margin + row / 2.0;
    const double free = give_rows(roots, 0, first, deepest);
    const double last_row = std::max(free - row, first + row);
    out.return_y = last_row + 34.0;

    std::vector<double> widths(static_cast<std::size_t>(deepest) + 1, 20.0);
    widen(roots, widths);
    std::vector<double> starts{margin + battery_room(plan)};
    for (const double w : widths) starts.push_back(starts.back() + w);
    Composer composer(out, starts, starts.back());
    for (const Branch& b : roots) composer.put(b);
    if (!roots.empty()) out.bars.push_back({starts.front(), roots.front().y - 3.0, roots.back().y + 3.0, false});

    double end = starts.back() + symbol_width;
    bool bypass = false;
    for (const Consumer& c : out.consumers) {
        end = std::max(end, c.end);
        bypass = bypass || c.negative == design::Negative::battery_post;
    }
    out.negative_x = end + 6.0;
    out.bypass_x = out.negative_x + (bypass ? 7.0 : 0.0);
    out.bypass_y = bypass ? out.return_y + 10.0 : 0.0;
    const double connection = roots.empty() ? first : (roots.front().y + roots.back().y) / 2.0;
    add_battery(plan, out, connection);
    out.connection_y = connection;
    add_shunt(plan, out);
    label_return(plan, out);
    out.labels.push_back(label(margin, margin + 4.5, plan.name, true, 4.5));
    const double foot = bypass ? out.bypass_y : out.return_y;
    if (const std::string missing = not_drawn(plan); !missing.empty())
        out.labels.push_back(label(margin, foot + margin + 3.0, missing, false, 2.4));
    out.size = {std::max(out.bypass_x + margin + 4.0, 150.0), foot + margin + 12.0};
    return out;
}

}  // namespace amphora::document
