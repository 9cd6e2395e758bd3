// The door of the page server: whatever bytes come over a connection, and however they are cut into pieces, it answers
// in HTTP or closes, and answers the same. No socket: the first byte says how large the pieces are, the rest is what
// comes.
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <vector>

#include "io/access/visitors.hpp"
#include "io/web/entrance.hpp"
#include "io/web/event_channel.hpp"
#include "support/http_answers.hpp"
#include "support/made_up_connection.hpp"

namespace {

using namespace amphora::web;

void require(bool holds, const char* what) {
    if (holds) return;
    std::fprintf(stderr, "%s\n", what);
    std::abort();
}

class Target {
public:
    /// Status after status.
    std::vector<int> answer(std::string_view sent, std::size_t piece) {
        const std::string said = server_.answer(sent, piece);
        // Where HEAD was asked for the heads alone come; it is told by what was sent.
        auto answers = answers_in(said);
        if (!answers && sent.find("HEAD ") != std::string_view::npos) return {};
        require(answers.has_value(), "what was answered is no HTTP");
        require(server_.shared().connections.open() == 0, "a seat was not given up");
        require(server_.shared().event_streams == 0 && events_.listeners() == 0, "a stream was not ended");
        std::vector<int> statuses;
        for (const Answer& one : *answers) {
            require(one.status == 100 || !phrase(static_cast<unsigned>(one.status)).empty(), "a status of its own");
            require(one.status < 500 || one.status == 505, "it failed inside");
            if (one.status != 100) statuses.push_back(one.status);
        }
        return statuses;
    }

private:
    Routes routes() {
        Routes routes;
        routes.get("/", [](const Request&) { return Response{}; }, Access::knock);
        routes.get("/api/v1/now", [](const Request& r) { return json(std::string(r.query.find("a").value_or("{}"))); });
        routes.get("/long", [](const Request&) {
            Response response;
            response.more = [left = 2]() mutable { return left-- > 0 ? std::string("piece") : std::string(); };
            return response;
        });
        routes.post("/act", [](const Request& r) { return json(std::string(r.body)); }, {.body_limit = 1000});
        routes.events("/stream", events_);
        return routes;
    }

    amphora::access::Visitors visitors_{amphora::access::StateFile("/nowhere/van.access")};
    Entrance entrance_{.visitors = visitors_};
    EventChannel events_{"run"};
    MadeUpServer server_{routes(), {gate_of(entrance_)}};
};

// A fault in what has come in part is told at once or when the rest has come, or not at all where the client leaves.
void forget_the_last_refusal(std::vector<int>& statuses) {
    if (!statuses.empty() && (statuses.back() == 400 || statuses.back() == 413 || statuses.back() == 431))
        statuses.pop_back();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
    static Target& target = *new Target;  // never ended: libFuzzer leaves by exit
    if (size == 0) return 0;
    const std::string_view sent(reinterpret_cast<const char*>(bytes) + 1, size - 1);
    auto whole = target.answer(sent, sent.size() + 1);
    auto cut = target.answer(sent, 1 + static_cast<std::size_t>(*bytes));
    if (sent.size() > Limits{}.header_bytes) return 0;  // where just too much is noticed depends on the pieces
    forget_the_last_refusal(whole);
    forget_the_last_refusal(cut);
    require(whole == cut, "cut into pieces it was answered otherwise");
    return 0;
}
