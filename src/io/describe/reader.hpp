// Reads a document by the table of keys: every key that stands there, one at a time.
#pragma once

#include "io/describe/draft.hpp"

namespace amphora::describe {

/// Takes over what the document gives; unknown keys, wrong types and values out of range become mistakes.
void read_given(Draft& draft, const Node& root);

/// Fills in what it does not give, with a note for each; a required key that is missing becomes a mistake.
void fill_in(Draft& draft);

}  // namespace amphora::describe
