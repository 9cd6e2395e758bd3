#include "io/record/snapshot.hpp"

#include "io/record/record_file.hpp"

namespace amphora::record {

std::vector<TailPage> begin_snapshot(Database& database) {
    const std::uint64_t id = record_id(database);
    for (;;) {
        if (sqlite3_get_autocommit(database.handle()) == 0) database.execute("COMMIT");
        database.execute("BEGIN");
        const std::uint64_t sealed = sealed_count(database);
        auto tail = read_tail(tail_path(database.file()), id, sealed);
        // Had a block been made of the tail since, its pages might have been written over already.
        const Database fresh = open_to_read(database.file());
        if (sealed_count(fresh) == sealed) return tail;
    }
}

}  // namespace amphora::record
