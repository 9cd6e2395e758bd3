// Where everything of the wiring diagram goes. The plan is a tree that grows to the right from the battery: each
// circuit is a level line with its fuse, bars stand upright, and every leaf has a row of its own, so that no two lines
// cross. The negative wires run on to one bar at the right and back below everything, through the shunt, to the
// battery.
#pragma once

#include <string>
#include <vector>

#include "core/design/plan.hpp"
#include "io/document/canvas.hpp"

namespace amphora::document {

enum class Variant {
    meter_only,      // nothing switches
    cut_off,         // a relay contact cuts the loads
    separate_buses,  // loads and chargers on bars of their own, each behind a relay contact
};

enum class Symbol { load, inverter, solar, alternator, shore };

/// A text with the box it fills (baseline at the bottom of the box).
struct Label {
    double x = 0.0;
    double y = 0.0;
    double width = 0.0;
    double height = 0.0;
    std::string text;
    bool strong = false;
};

struct Wire {
    double x0 = 0.0;
    double y = 0.0;
    double x1 = 0.0;
    double fuse_at = -1.0;     // centre of the fuse's symbol; below 0: none
    double breaker_at = -1.0;  // likewise
    double contact_at = -1.0;  // likewise, of a relay contact
};

struct Bar {
    double x = 0.0;
    double y0 = 0.0;
    double y1 = 0.0;
    bool negative = false;
};

struct Consumer {
    double x = 0.0;  // left edge of the symbol
    double y = 0.0;  // of the wire
    Symbol symbol = Symbol::load;
    design::Negative negative = design::Negative::load_side;
    double shunt_at = -1.0;  // centre of a shunt in its negative wire; below 0: none
    double end = 0.0;        // what belongs to it ends here
};

struct DiagramLayout {
    Size size;
    std::vector<Wire> wires;
    std::vector<Bar> bars;
    std::vector<Consumer> consumers;
    std::vector<Label> labels;
    double battery_x = 0.0;     // centre of the battery
    double battery_top = 0.0;   // its positive post
    double connection_y = 0.0;  // where its positive wire meets the first bar
    double battery_foot = 0.0;  // its negative post
    double return_y = 0.0;      // the negative line below everything
    double bypass_y = 0.0;      // the line of negatives that go around the shunt; 0: none
    double negative_x = 0.0;    // the negative bar
    double bypass_x = 0.0;
    double shunt_x = 0.0;  // centre; 0: no shunt
};

constexpr double symbol_width = 9.0;
constexpr double symbol_height = 6.0;

[[nodiscard]] DiagramLayout lay_out(const design::Plan& plan, Variant variant);

}  // namespace amphora::document
