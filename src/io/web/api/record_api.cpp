#include "io/web/api/record_api.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <expected>
#include <fstream>
#include <memory>
#include <stdexcept>
#include <utility>

#include "io/record/plain_text.hpp"
#include "io/record/upkeep.hpp"
#include "io/web/api/body_json.hpp"
#include "io/web/api/upload.hpp"

namespace amphora::web {
namespace {

constexpr std::size_t file_piece = std::size_t{256} * 1024;

std::uint64_t size_on_disk(const std::filesystem::path& file) {
    std::error_code none;
    const auto size = std::filesystem::file_size(file, none);
    return none ? 0 : size;
}

Response standing(const Desk& desk) {
    if (const auto fresh = desk.past.refresh(); !fresh) return problem(500, fresh.error().message);
    const auto extent = desk.past.extent();
    const auto* book = desk.past.book();
    const auto copy = desk.scratch / "copy.amphora";
    return answer_with({{"file", desk.past.file().filename().string()},
                        {"exists", desk.past.reader() != nullptr},
                        {"from", extent ? moment(Instant{extent->from_us}) : Json(nullptr)},
                        {"to", extent ? moment(Instant{extent->to_us}) : Json(nullptr)},
                        {"readings", desk.past.count()},
                        {"bytes", size_on_disk(desk.past.file())},
                        {"zone", desk.past.reader() != nullptr ? desk.past.reader()->days().zone() : desk.days.zone()},
                        {"not_derived_s", number(book != nullptr ? book->not_derived().value() : 0.0, 0)},
                        {"copy", std::filesystem::exists(copy) ? Json{{"bytes", size_on_disk(copy)}} : Json(nullptr)}});
}

Response work(const Desk& desk) {
    const auto s = desk.work.standing();
    constexpr std::array<std::string_view, 3> words{"idle", "working", "done"};
    return answer_with({{"kind", s.kind},
                        {"state", words.at(static_cast<std::size_t>(s.state))},
                        {"share", number(s.share, 3)},
                        {"well", s.outcome.well},
                        {"figures", s.outcome.figures},
                        {"sentence", s.outcome.sentence}});
}

Response begun(bool could) {
    if (!could) return problem(409, "Something else is being done (see /api/v1/work): try again when it has ended.");
    Response response = answer_with({{"begun", true}});
    response.status = 202;
    return response;
}

void offer_as(Response& response, const std::string& name) {
    response.headers.emplace_back("Content-Disposition", fmt::format("attachment; filename=\"{}\"", name));
}

/// Gives a span of readings as text, a piece after the other. It has a reader of its own, so that the record may grow
/// or be reopened meanwhile.
class Exporting {
public:
    Exporting(record::Reader reader, record::Span span, record::PlainForm form)
        : reader_(std::move(reader)), span_(span), at_(span.from_us), form_(form) {}

    std::string next() {
        std::string text = std::exchange(begun_, true) ? "" : record::readings_heading(form_);
        while (text.empty() && at_ < span_.to_us) {
            std::size_t lines = 0;
            const std::int64_t until = std::min(span_.to_us, at_ + stretch_us_);
            const auto visited = reader_.visit({at_, until}, [&](const auto& columns, std::size_t i, std::size_t end) {
                record::add_readings(text, columns, i, end, form_);
                lines += end - i;
            });
            if (!visited) throw std::runtime_error(visited.error().message);
            at_ = until;
            // A few milliseconds each, whether there is a reading a second or one an hour.
            if (lines < 2000) stretch_us_ = std::min(stretch_us_ * 4, 400 * ledger::day_us);
            if (lines > 8000) stretch_us_ = std::max(stretch_us_ / 4, ledger::minute_us);
        }
        return text;
    }

private:
    record::Reader reader_;
    record::Span span_;
    std::int64_t at_;
    std::int64_t stretch_us_ = ledger::hour_us;
    record::PlainForm form_;
    bool begun_ = false;
};

std::expected<std::string, Response> rolled_up(const record::Reader& reader, record::Span span, std::string_view by,
                                               record::PlainForm form) {
    const auto unit = by == "minute" ? ledger::minute_us : by == "hour" ? ledger::hour_us : ledger::day_us;
    const auto rollups = reader.rollups(unit, span);
    if (!rollups) return std::unexpected(problem(500, rollups.error().message));
    std::string text = record::rollups_heading(form);
    for (const auto& r : *rollups) record::add_rollup(text, r, form);
    return text;
}

Response export_text(const Desk& desk, const Query& query) {
    const auto by = query.find("by").value_or("reading");
    const auto format = query.find("format").value_or("csv");
    if (by != "reading" && by != "minute" && by != "hour" && by != "day")
        return problem(400, "by is one of reading, minute, hour, day.");
    if (format != "csv" && format != "jsonl") return problem(400, "format is csv or jsonl.");
    for (const std::string_view name : {"from", "to"})
        if (query.find(name) && !query.number(name)) return problem(400, "from and to are moments in Unix seconds.");
    const auto extent = desk.past.extent();
    if (!extent) return problem(404, "There is no record yet.");
    record::Span span = *extent;
    if (const auto from = query.number("from")) span.from_us = std::max(span.from_us, Instant::from_unix(*from).us);
    if (const auto to = query.number("to")) span.to_us = std::min(span.to_us, Instant::from_unix(*to).us);
    if (by == "minute" && span.to_us - span.from_us > 366 * ledger::day_us)
        return problem(400, "That is more minutes than are written at once: at most a year, or by=hour.");
    auto reader = record::Reader::open(desk.past.file());
    if (!reader) return problem(500, reader.error().message);
    const auto form = format == "csv" ? record::PlainForm::csv : record::PlainForm::json_lines;
    Response response;
    response.type = format == "csv" ? "text/csv; charset=utf-8" : "application/jsonl";
    offer_as(response, fmt::format("{}-{}.{}", desk.past.file().stem().string(), by, format));
    if (by == "reading") {
        auto pieces = std::make_shared<Exporting>(std::move(*reader), span, form);
        response.more = [pieces] { return pieces->next(); };
    } else {
        auto text = rolled_up(*reader, span, by, form);
        if (!text) return text.error();
        response.body = Body(std::move(*text));
    }
    return response;
}

Response make_copy(Desk& desk) {
    if (desk.past.reader() == nullptr) return problem(404, "There is no record yet.");
    const auto file = desk.past.file();
    const auto copy = desk.scratch / "copy.amphora";
    return begun(desk.work.begin("backup", [file, copy](const Tell&) -> Outcome {
        std::error_code none;
        std::filesystem::remove(copy, none);
        if (const auto made = record::backup(file, copy); !made) return {false, nullptr, made.error().message};
        return {true, {{"bytes", size_on_disk(copy)}}, "The copy is complete in itself."};
    }));
}

Response send_copy(const Desk& desk) {
    if (desk.work.standing().state == Work::State::working)
        return problem(409, "The copy is still being made (see /api/v1/work).");
    auto file = std::make_shared<std::ifstream>(desk.scratch / "copy.amphora", std::ios::binary);
    if (!*file) return problem(404, "There is no copy yet: POST to this path to have one made.");
    Response response;
    response.type = "application/octet-stream";
    offer_as(response, fmt::format("{}-copy.amphora", desk.past.file().stem().string()));
    response.more = [file] {
        std::string piece(file_piece, '\0');
        file->read(piece.data(), static_cast<std::streamsize>(piece.size()));
        piece.resize(static_cast<std::size_t>(file->gcount()));
        return piece;
    };
    return response;
}

Response finish_import(Desk& desk, Upload& upload, const Request& request) {
    const auto body = object_of(request.body);
    const auto id = body ? text_in(*body, "upload") : std::nullopt;
    if (!id || !upload.is(*id)) return problem(404, "There is no such upload; begin it again.");
    // Asked before the upload ends: who has to try again has nothing to send again.
    if (desk.work.standing().state == Work::State::working) return begun(false);
    const auto past = desk.past.file();
    auto task = [job = upload.close(), past, origin = desk.past.origin(), days = desk.days](const Tell& tell) {
        return take_in(job, past, origin, days, tell);
    };
    return begun(desk.work.begin("import", std::move(task), [&desk] { desk.past.forget(); }));
}

}  // namespace

void add_record_api(Routes& routes, Desk& desk) {
    auto upload = std::make_shared<Upload>(desk.scratch);
    routes.get("/api/v1/record", [&desk](const Request&) { return standing(desk); });
    routes.get("/api/v1/work", [&desk](const Request&) { return work(desk); });
    routes.get("/api/v1/record/export", [&desk](const Request& r) { return export_text(desk, r.query); });
    routes.post("/api/v1/record/backup", [&desk](const Request&) { return make_copy(desk); });
    routes.get("/api/v1/record/backup", [&desk](const Request&) { return send_copy(desk); });
    routes.post("/api/v1/record/import/preview",
                [&desk](const Request& r) { return preview(r.body, desk.live.system(), desk.days.zone()); },
                {.body_limit = preview_bytes, .access = Access::look, .body = BodyKind::bytes});
    routes.post("/api/v1/record/import/begin", [upload](const Request& r) { return upload->begin(r); });
    routes.post("/api/v1/record/import/piece", [upload](const Request& r) { return upload->piece(r); },
                {.body_limit = piece_bytes, .body = BodyKind::bytes});
    routes.post("/api/v1/record/import/finish",
                [&desk, upload](const Request& r) { return finish_import(desk, *upload, r); });
}

}  // namespace amphora::web
