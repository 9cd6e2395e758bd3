// Readings and rollups as plain text, a line each: CSV that `amphora import` reads back bit for bit, or JSON lines.
#pragma once

#include <cstddef>
#include <string>

#include "core/ledger/block.hpp"
#include "core/ledger/rollup.hpp"

namespace amphora::record {

enum class PlainForm { csv, json_lines };

/// The first line of CSV, with its line break; empty for JSON lines.
[[nodiscard]] std::string readings_heading(PlainForm form);
[[nodiscard]] std::string rollups_heading(PlainForm form);

/// Appends a line for each reading from `begin` to before `end`.
void add_readings(std::string& text, const ledger::Columns& columns, std::size_t begin, std::size_t end,
                  PlainForm form);

/// Appends a line for a rollup.
void add_rollup(std::string& text, const ledger::Rollup& rollup, PlainForm form);

}  // namespace amphora::record
