// Guards that could do harm, or nothing: each is refused with its reason.
#pragma once

#include "io/describe/draft.hpp"

namespace amphora::describe {

/// Adds a mistake for each guard, relay or notice that names what is not there; for each rule that can never clear,
/// that would switch to and fro, or that contradicts another; and for what would let a lithium battery be charged in
/// frost. Fills in the resistance behind each unloaded voltage.
void check_guards(Draft& draft);

}  // namespace amphora::describe
