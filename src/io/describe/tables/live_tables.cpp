// [live], [broker]: how live operation keeps and tells what it measures.
#include "io/describe/tables/rows.hpp"
#include "io/describe/tables/tables.hpp"

namespace amphora::describe {
namespace {

constexpr auto broker = [](auto member) { return [member](auto& s, auto) -> auto& { return s.live.broker.*member; }; };
using B = described::Broker;

}  // namespace

std::vector<Table> live_tables() {
    Table live{.path = "live", .presence = Presence::always, .meaning = "Live operation as a whole."};
    live.keys = {
        number("durability_s", "s", {1, 3600},
               "Most that a power cut may cost: readings are on the device after so long. Shorter wears a memory card "
               "faster.",
               "60", measured([](auto& s, auto) -> auto& { return s.live.durability; })),
    };
    Table table{.path = "broker",
                .presence = Presence::always,
                .meaning = "The MQTT broker that sources, outputs and actions share."};
    Key password =
        text("password_file", "File whose first line is the password.", "none", kept(broker(&B::password_file)));
    password.range = {1, 1000};
    table.keys = {
        text("host", "Name or address of the broker.", "no broker", kept(broker(&B::host))),
        whole("port", {1, 65535}, "Its port.", "1883", kept(broker(&B::port))),
        text("user", "User name there.", "none", kept(broker(&B::user))),
        std::move(password),
        flag("publish", "Tell the broker's other clients what is measured, by the Homie 5 convention.", "true",
             kept(broker(&B::publish))),
        text("domain", "First part of the topics.", "homie", kept(broker(&B::domain))),
    };
    return {std::move(live), std::move(table)};
}

}  // namespace amphora::describe
