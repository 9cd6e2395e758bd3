// The book of a system: one PDF to print and hang inside the cupboard door.
#pragma once

#include <expected>
#include <filesystem>
#include <string>

#include "core/design/energy.hpp"
#include "core/design/finding.hpp"
#include "core/design/simulate.hpp"
#include "io/document/diagram_layout.hpp"

namespace amphora::document {

/// What the book tells beside the plan itself.
struct BookContent {
    design::Plan plan;
    System system;  // for the meter's settings
    design::Findings findings;
    design::Budget budget;
    design::Outcome outcome;
    Variant variant = Variant::meter_only;
};

/// Writes the book. The error says why it cannot be written.
[[nodiscard]] std::expected<void, std::string> write_book(const BookContent& content,
                                                          const std::filesystem::path& file);

}  // namespace amphora::document
