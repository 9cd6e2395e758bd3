#include "io/record/derive.hpp"

#include <cmath>
#include <memory>

#include "core/ledger/estimate_block.hpp"
#include "core/pipeline/pipeline.hpp"
#include "io/record/block_table.hpp"
#include "io/record/record_file.hpp"
#include "io/record/rollup_store.hpp"
#include "io/record/snapshot.hpp"

namespace amphora::record {
namespace {

using ledger::EstimateRow;

// Hindsight needs memory for every minute, so it works in stretches; each warms up before its beginning.
constexpr std::int64_t stretch_us = 366 * ledger::day_us;
constexpr std::int64_t warm_up_us = 45 * ledger::day_us;

constexpr const char* name_of(View view) { return view == View::lived ? "lived" : "hindsight"; }

EstimateRow row_of(Instant at, const Uncertain<Fraction>& soc) {
    if (!soc.mean.known()) return {at.us, -1, -1};
    return {at.us, std::llround(soc.mean.value() * 1e4), soc.sd.known() ? std::llround(soc.sd.value() * 1e4) : -1};
}

/// Gathers estimates and writes them a UTC day at a time.
class EstimateWriter {
public:
    EstimateWriter(Database& database, View view, std::int64_t from_us)
        : database_(database), view_(view), from_us_(from_us) {}

    void push(const EstimateRow& row) {
        const std::int64_t day = ledger::floor_to(row.at_us, ledger::day_us);
        if (!rows_.empty() && day != ledger::floor_to(rows_.front().at_us, ledger::day_us)) flush();
        rows_.push_back(row);
    }
    void flush() {
        if (rows_.empty()) return;
        const std::int64_t day = ledger::floor_to(rows_.front().at_us, ledger::day_us);
        if (day >= from_us_) {
            const auto data = ledger::encode_estimates(rows_);
            database_.prepare("INSERT OR REPLACE INTO derived (kind, start_us, data) VALUES (?1, ?2, ?3)")
                .bind(std::string_view(name_of(view_)), day, std::span<const std::uint8_t>(data))
                .run();
        }
        rows_.clear();
    }

private:
    Database& database_;
    View view_;
    std::int64_t from_us_;
    std::vector<EstimateRow> rows_;
};

/// How far a derivation got; a stranger's begins anew.
std::int64_t done_until(Database& database, const Origin& origin) {
    Statement s =
        database.prepare("SELECT until_us FROM derivation WHERE kind = 'estimates' AND description = ?1 AND code = ?2");
    s.bind(std::string_view(origin.fingerprint), derivation_code);
    return s.step() ? s.integer(0) : INT64_MIN;
}

void mark(Database& database, const Origin& origin, std::int64_t until_us, bool complete) {
    database
        .prepare(
            "INSERT OR REPLACE INTO derivation (kind, description, code, until_us, complete) VALUES ('estimates', ?1, "
            "?2, ?3, ?4)")
        .bind(std::string_view(origin.fingerprint), derivation_code, until_us, complete)
        .run();
}

/// Runs the readings through the pipeline, a stretch of about a year after the other. Each stretch is a transaction.
class Derivation {
public:
    Derivation(Database& database, const Origin& origin, const Progress& progress)
        : database_(database), origin_(origin), progress_(progress), resume_us_(done_until(database, origin)) {}

    void run() {
        const auto begin = blocks_begin(database_);
        if (!begin) return;
        begin_us_ = *begin;
        end_us_ = blocks_end(database_);
        if (resume_us_ == INT64_MIN) {
            Transaction t(database_);
            forget_derived(database_);
            mark(database_, origin_, begin_us_, false);
            t.commit();
        }
        std::int64_t from = ledger::floor_to(begin_us_, ledger::day_us);
        for (; from + stretch_us <= resume_us_; from += stretch_us) {
        }
        for (; from < end_us_; from += stretch_us) derive_stretch(from, std::min(from + stretch_us, end_us_));
        Transaction t(database_);
        mark(database_, origin_, end_us_, true);
        t.commit();
    }

private:
    void derive_stretch(std::int64_t from, std::int64_t to) {
        Transaction t(database_);
        Pipeline pipeline(origin_.system, {.keep_for_hindsight = true});
        EstimateWriter lived(database_, View::lived, from);
        const std::int64_t warm = from - warm_up_us;
        const auto rows = blocks_between(database_, warm, to);
        visit_in_order(database_, rows, {}, warm, to, [&](const ledger::Columns& c, std::size_t i, std::size_t end) {
            for (; i < end; ++i) {
                if (!pipeline.push(c.reading(i)) || c.time_us[i] < from) continue;
                lived.push(row_of(pipeline.at(), pipeline.state_of_charge()));
            }
            if (progress_)
                progress_(static_cast<double>(c.time_us[end - 1] - begin_us_) /
                          static_cast<double>(end_us_ - begin_us_));
        });
        lived.flush();
        EstimateWriter hindsight(database_, View::hindsight, from);
        for (const Hindsight& h : pipeline.hindsight())
            if (h.at.us >= from) hindsight.push(row_of(h.at, h.state_of_charge));
        hindsight.flush();
        mark(database_, origin_, to, false);
        t.commit();
    }

    Database& database_;
    const Origin& origin_;
    const Progress& progress_;
    std::int64_t resume_us_;
    std::int64_t begin_us_ = 0;
    std::int64_t end_us_ = 0;
};

}  // namespace

void forget_derived(Database& database) { database.execute("DELETE FROM derived; DELETE FROM derivation"); }

Result<void> derive(const std::filesystem::path& file, const Origin& origin, const LocalDays& days,
                    const Progress& progress) {
    return guarded([&] {
        Database database = open_existing_to_write(file);
        settle_rollups(database, days);
        Derivation(database, origin, progress).run();
    });
}

Result<bool> is_derived(const std::filesystem::path& file, const Origin& origin) {
    return guarded([&] {
        const Database database = open_to_read(file);
        Statement s = database.prepare(
            "SELECT until_us FROM derivation WHERE kind = 'estimates' AND description = ?1 AND code = ?2 AND complete "
            "= 1");
        s.bind(std::string_view(origin.fingerprint), derivation_code);
        return s.step() && s.integer(0) == blocks_end(database) && !rollups_stale(database);
    });
}

Result<void> visit_estimates(const std::filesystem::path& file, View view, Span span,
                             const std::function<void(const Estimated&)>& visit) {
    return guarded([&] {
        const Database database = open_to_read(file);
        Statement s = database.prepare(
            "SELECT data FROM derived WHERE kind = ?1 AND start_us >= ?2 AND start_us < ?3 ORDER BY start_us");
        const std::int64_t first_day =
            span.from_us < INT64_MIN + ledger::day_us ? INT64_MIN : ledger::floor_to(span.from_us, ledger::day_us);
        s.bind(std::string_view(name_of(view)), first_day, span.to_us);
        while (s.step()) {
            const auto rows = ledger::decode_estimates(s.blob(0));
            if (!rows)
                throw DatabaseFailure{
                    {Fault::damaged, file.string() + ": derived figures are damaged (" +
                                         ledger::describe(rows.error()) +
                                         "); the readings are not touched by this: run \"amphora rederive\""}};
            for (const EstimateRow& row : *rows) {
                if (row.at_us < span.from_us || row.at_us >= span.to_us || row.state_of_charge < 0) continue;
                const Fraction sd = row.sd < 0 ? Fraction::missing() : Fraction(static_cast<double>(row.sd) / 1e4);
                visit({Instant{row.at_us}, {Fraction(static_cast<double>(row.state_of_charge) / 1e4), sd}});
            }
        }
    });
}

Result<std::vector<Estimated>> estimates(const std::filesystem::path& file, View view, Span span) {
    std::vector<Estimated> found;
    const auto visited = visit_estimates(file, view, span, [&](const Estimated& e) { found.push_back(e); });
    if (!visited) return std::unexpected(visited.error());
    return found;
}

}  // namespace amphora::record
