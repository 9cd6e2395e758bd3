#include "io/document/diagram_layout.hpp"

#include <gtest/gtest.h>

#include <algorithm>

#include "support/systems.hpp"

namespace amphora::document {
namespace {

using design::Plan;

struct Box {
    double x0, y0, x1, y1;
};

bool overlap(const Box& a, const Box& b) { return a.x0 < b.x1 && b.x0 < a.x1 && a.y0 < b.y1 && b.y0 < a.y1; }

Box box_of(const Label& l) { return {l.x, l.y - l.height * 0.75, l.x + l.width, l.y + l.height * 0.2}; }

std::vector<Plan> plans() {
    std::vector<Plan> all{design::clean_van(), design::clean_narrowboat(), design::clean_cabin(), design::clean_stall(),
                          design::clean_truck()};
    Plan around = design::clean_van();
    around.circuits[4].negative = design::Negative::battery_post;
    around.circuits[5].negative = design::Negative::chassis;
    around.circuits[5].name = "a circuit with a name that is as long as names are allowed to be";
    all.push_back(around);
    around.chargers[0].circuit.clear();  // nowhere to be drawn
    all.push_back(around);
    Plan deep = design::clean_van();
    std::string from = "panel";
    for (int i = 0; i < 5; ++i) {
        deep.circuits.push_back(design::circuit("deeper " + std::to_string(i), from, design::metric(4, 2.0),
                                                design::fuse(design::FuseKind::blade, 10)));
        deep.circuits.push_back(design::circuit("beside " + std::to_string(i), from, design::metric(4, 2.0),
                                                design::fuse(design::FuseKind::blade, 5)));
        from = "deeper " + std::to_string(i);
    }
    all.push_back(deep);
    return all;
}

template <class Check>
void each_layout(Check check) {
    for (const Plan& plan : plans()) {
        for (const Variant v : {Variant::meter_only, Variant::cut_off, Variant::separate_buses})
            check(plan, lay_out(plan, v));
    }
}

TEST(DiagramLayout, NoTextLiesOnAnother) {
    each_layout([](const Plan& plan, const DiagramLayout& l) {
        for (std::size_t i = 0; i < l.labels.size(); ++i) {
            for (std::size_t j = i + 1; j < l.labels.size(); ++j) {
                EXPECT_FALSE(overlap(box_of(l.labels[i]), box_of(l.labels[j])))
                    << plan.name << ": " << l.labels[i].text << " / " << l.labels[j].text;
            }
        }
    });
}

TEST(DiagramLayout, NoTextLiesOnAWireABarOrASymbol) {
    each_layout([](const Plan& plan, const DiagramLayout& l) {
        for (const Label& label : l.labels) {
            const Box text = box_of(label);
            for (const Wire& w : l.wires)
                EXPECT_FALSE(overlap(text, {w.x0, w.y - 0.25, w.x1, w.y + 0.25})) << plan.name << ": " << label.text;
            for (const Bar& b : l.bars)
                EXPECT_FALSE(overlap(text, {b.x - 0.5, b.y0, b.x + 0.5, b.y1})) << plan.name << ": " << label.text;
            for (const Consumer& c : l.consumers) {
                EXPECT_FALSE(overlap(text, {c.x, c.y - symbol_height / 2, c.x + symbol_width, c.y + symbol_height / 2}))
                    << plan.name << ": " << label.text;
            }
        }
    });
}

TEST(DiagramLayout, NothingIsCutOff) {
    each_layout([](const Plan& plan, const DiagramLayout& l) {
        for (const Label& t : l.labels) {
            EXPECT_GE(t.x, 0.0);
            EXPECT_GE(t.y - t.height, 0.0);
            EXPECT_LE(t.x + t.width, l.size.width) << plan.name << ": " << t.text;
            EXPECT_LE(t.y, l.size.height);
        }
        EXPECT_LT(l.battery_foot, l.return_y) << plan.name;
    });
}

/// Level wires and upright bars: a crossing would be a wire that passes through a bar it does not end at.
TEST(DiagramLayout, NoWireCrossesABar) {
    each_layout([](const Plan& plan, const DiagramLayout& l) {
        for (const Wire& w : l.wires) {
            for (const Bar& b : l.bars) {
                const bool through = w.x0 + 0.1 < b.x && b.x < w.x1 - 0.1 && b.y0 < w.y && w.y < b.y1;
                EXPECT_FALSE(through) << plan.name;
            }
        }
    });
}

TEST(DiagramLayout, EveryRunSaysItsCableLengthAndFuse) {
    const Plan plan = design::clean_van();
    const DiagramLayout l = lay_out(plan, Variant::meter_only);
    const auto written = [&](const std::string& text) {
        return std::ranges::any_of(l.labels, [&](const Label& t) { return t.text == text; });
    };
    for (const auto& c : plan.circuits) EXPECT_TRUE(written(c.name)) << c.name;
    EXPECT_TRUE(written("70 mm², 1 m"));
    EXPECT_TRUE(written("250 A class T"));
    EXPECT_EQ(static_cast<std::size_t>(std::ranges::count_if(l.wires, [](const Wire& w) { return w.fuse_at >= 0.0; })),
              plan.circuits.size());
}

TEST(DiagramLayout, NoRelayIsWiredWithoutAFuseBeforeIt) {
    for (const Plan& plan : plans()) {
        for (const Variant v : {Variant::cut_off, Variant::separate_buses}) {
            const DiagramLayout l = lay_out(plan, v);
            int contacts = 0;
            for (const Wire& w : l.wires) {
                if (w.contact_at < 0.0) continue;
                ++contacts;
                EXPECT_TRUE(w.fuse_at >= 0.0 && w.fuse_at < w.contact_at) << plan.name;
            }
            EXPECT_GE(contacts, 1) << plan.name;
        }
    }
}

TEST(DiagramLayout, TheFuseOfABarIsLargerThanThoseBehindIt) {
    const DiagramLayout l = lay_out(design::clean_van(), Variant::cut_off);
    const auto written = [&](const std::string& text) {
        return std::ranges::any_of(l.labels, [&](const Label& t) { return t.text == text; });
    };
    EXPECT_TRUE(written("250 A class T")) << "of the inverter";
    EXPECT_TRUE(written("300 A class T")) << "of the bar before it";
}

TEST(DiagramLayout, AShuntInOneCircuitIsDrawnThere) {
    Plan plan = design::clean_van();
    plan.shunts.push_back(design::shunt("sun meter", 100, 60));
    plan.shunts.back().circuit = "solar";
    const DiagramLayout l = lay_out(plan, Variant::meter_only);
    EXPECT_EQ(std::ranges::count_if(l.consumers, [](const Consumer& c) { return c.shunt_at >= 0.0; }), 1);
    EXPECT_TRUE(std::ranges::any_of(l.labels, [](const Label& t) { return t.text == "sun meter, 100 A / 60 mV"; }));
}

TEST(DiagramLayout, WhatHangsOnNoCircuitIsNamed) {
    Plan plan = design::clean_van();
    const auto said = [](const Plan& p) {
        const DiagramLayout l = lay_out(p, Variant{});
        return std::ranges::any_of(l.labels,
                                   [](const Label& t) { return t.text == "Not drawn, on no circuit: solar."; });
    };
    EXPECT_FALSE(said(plan));
    plan.chargers[0].circuit.clear();
    EXPECT_TRUE(said(plan));
}

}  // namespace
}  // namespace amphora::document
