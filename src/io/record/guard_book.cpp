#include "io/record/guard_book.hpp"

namespace amphora::record {

void store_act(Database& database, std::int64_t boot, const GuardAct& act) {
    database
        .prepare(
            "INSERT INTO guard_act (boot, at_us, kind, guard, relay, to_on, value, worst) VALUES (nullif(?1, 0), ?2, "
            "?3, nullif(?4, ''), nullif(?5, ''), nullif(?6, -1), ?7, ?8)")
        .bind(boot, act.at_us, std::string_view(act.kind), std::string_view(act.guard), std::string_view(act.relay),
              act.on ? static_cast<int>(*act.on) : -1, act.value, act.worst)
        .run();
}

std::vector<GuardAct> acts_between(const Database& database, std::int64_t from_us, std::int64_t to_us,
                                   std::size_t most) {
    Statement s = database.prepare(
        "SELECT at_us, kind, guard, relay, to_on, value, worst FROM guard_act WHERE at_us >= ?1 AND at_us < ?2 "
        "ORDER BY at_us DESC, id DESC LIMIT ?3");
    s.bind(from_us, to_us, most);
    std::vector<GuardAct> acts;
    while (s.step())
        acts.push_back({.at_us = s.integer(0),
                        .kind = s.text(1),
                        .guard = s.text(2),
                        .relay = s.text(3),
                        .on = s.is_null(4) ? std::nullopt : std::optional(s.integer(4) != 0),
                        .value = s.real(5),
                        .worst = s.real(6)});
    return acts;
}

bool is_known(const Database& database, const GuardAct& act) {
    Statement s = database.prepare(
        "SELECT 1 FROM guard_act WHERE at_us = ?1 AND kind = ?2 AND guard IS nullif(?3, '') AND relay IS nullif(?4, "
        "'')");
    s.bind(act.at_us, std::string_view(act.kind), std::string_view(act.guard), std::string_view(act.relay));
    return s.step();
}

void move_acts(Database& database, std::int64_t boot, std::int64_t shift_us) {
    database.prepare("UPDATE guard_act SET at_us = at_us + ?1 WHERE boot = ?2").bind(shift_us, boot).run();
}

}  // namespace amphora::record
