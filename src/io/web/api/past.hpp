// The past as the page asks for it, read from the record.
#pragma once

#include <chrono>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "io/record/derive.hpp"
#include "io/record/estimate_book.hpp"
#include "io/record/reader.hpp"

namespace amphora::web {

/// A span of time in pieces. All lists have one entry for each piece; `edges` has one more.
struct PastSpan {
    std::vector<std::int64_t> edges;
    std::vector<ledger::Rollup> readings;
    std::vector<record::Level> lived;
    std::vector<record::Level> hindsight;
};

/// An hour, a day, a week or a month: what came in and went out, and between what the charge stood.
struct Bar {
    ledger::Rollup sum;
    std::int64_t end_us = 0;
    record::Level hindsight;
};

enum class BarUnit : std::uint8_t { hour, day, week, month };

/// Opens the record when there is one, and goes on reading while it grows. For one thread.
class Past {
public:
    Past(std::filesystem::path file, record::Origin origin) : file_(std::move(file)), origin_(std::move(origin)) {}

    /// Takes in what was recorded since; looks at the file at most once a second. An error when there is a record that
    /// cannot be read; none when there is no record yet.
    record::Result<void> refresh();
    /// Reads everything anew at the next refresh, as after an import or another description.
    void forget(std::optional<record::Origin> origin = std::nullopt);

    /// From the first reading to just after the last; nothing before there is one.
    [[nodiscard]] std::optional<record::Span> extent() const;
    [[nodiscard]] std::uint64_t count() const;

    [[nodiscard]] record::Result<PastSpan> span(record::Span span, std::size_t points) const;
    [[nodiscard]] record::Result<std::vector<Bar>> bars(record::Span span, BarUnit unit) const;
    /// What went in and out: exact to the minute for up to three days, to the hour for up to four months, else to the
    /// day.
    [[nodiscard]] record::Result<ledger::Rollup> total(record::Span span) const;

    [[nodiscard]] const std::filesystem::path& file() const { return file_; }
    [[nodiscard]] const record::Origin& origin() const { return origin_; }
    /// Null before there is a record.
    [[nodiscard]] const record::Reader* reader() const { return reader_ ? &*reader_ : nullptr; }
    [[nodiscard]] const record::EstimateBook* book() const { return book_ ? &*book_ : nullptr; }

private:
    std::filesystem::path file_;
    record::Origin origin_;
    std::optional<record::Reader> reader_;
    std::optional<record::EstimateBook> book_;
    std::chrono::steady_clock::time_point looked_;
};

}  // namespace amphora::web
