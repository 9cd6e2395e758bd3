// A log run through the pipeline: what `amphora replay` does, and all that is to be told of it.
#pragma once

#include <expected>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "app/exit.hpp"
#include "core/estimate/honesty.hpp"
#include "core/pipeline/pipeline.hpp"
#include "core/system/system.hpp"
#include "io/source/csv_reader.hpp"

namespace amphora::app {

struct ReplayRequest {
    std::string log;        // a path, or "-" for the standard input
    std::string estimates;  // a path, "-" for the standard output, or empty for none
    std::string plot;       // a path, or empty for none
    Second every{60.0};     // between rows of the estimates
    bool hindsight = true;  // memory then grows by at most 64 bytes for each minute of the log
};

struct ReplayResult {
    source::CsvReport log;
    std::vector<std::string> warnings;  // what makes the whole of it doubtful
    Oddities oddities;
    Instant first, last;             // earliest and latest reading
    Estimate end;                    // the newest estimate
    std::optional<Honesty> honesty;  // with hindsight only
    Instant honesty_from;            // the first day, when it was still finding out, is left out of long logs
};

struct ReplayFailure {
    Exit exit;
    std::string message;
};

/// Told now and then how far the run has come; the message is empty while the log is read.
using ReplayProgress = std::function<void(std::uint64_t bytes, std::optional<std::uint64_t> in_all,
                                          std::uint64_t readings, std::string_view message)>;

/// Runs the log through a new pipeline and writes what was asked for. Files are there in full or not at all.
std::expected<ReplayResult, ReplayFailure> replay(const ReplayRequest& request, const System& system,
                                                  const ReplayProgress& progress);

}  // namespace amphora::app
