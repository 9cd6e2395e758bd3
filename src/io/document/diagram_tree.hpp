// What a diagram draws, as a tree: runs, each with what hangs on its end.
#pragma once

#include <string>
#include <vector>

#include "core/design/plan.hpp"
#include "io/document/diagram_layout.hpp"

namespace amphora::document {

/// A piece of the tree: a run with what hangs on its end.
struct Branch {
    std::string above;  // written over the wire: name
    std::string below;  // under it: cable and length
    std::string fuse;
    bool breaker = false;
    bool has_fuse = false;
    bool contact = false;
    bool is_bar = false;  // ends at a bar with children
    Symbol symbol = Symbol::load;
    std::string consumer;
    std::string detail;
    std::string meter;  // of the shunt in its negative wire; empty: none
    design::Negative negative = design::Negative::load_side;
    std::vector<Branch> children;
    int depth = 0;
    double y = 0.0;
};

/// True if there is a circuit of that name.
[[nodiscard]] bool has_circuit(const design::Plan& plan, const std::string& name);

/// The plan with the bars behind relays that the variant asks for: one for the loads, and one for the chargers; cable
/// and fuse of what leads there are sized as `amphora size` would.
[[nodiscard]] design::Plan with_bars(design::Plan plan, Variant variant);

/// The circuits that hang on no other, each with its own.
[[nodiscard]] std::vector<Branch> tree(const design::Plan& plan);

}  // namespace amphora::document
