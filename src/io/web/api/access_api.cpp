#include "io/web/api/access_api.hpp"

#include <fmt/format.h>

#include <chrono>
#include <memory>
#include <utility>

#include "io/access/pairing_code.hpp"
#include "io/access/passphrase.hpp"
#include "io/web/api/body_json.hpp"
#include "io/web/entrance.hpp"
#include "io/web/local_network.hpp"
#include "io/web/own_computer.hpp"

namespace amphora::web {
namespace {

using access::Role;
using Clock = std::chrono::steady_clock;

constexpr std::size_t small_body = 4096;

bool asks_to_look_only(const Json& body) {
    const auto found = body.find("view_only");
    return found != body.end() && *found == true;
}

std::string_view word(Role role) { return role == Role::full ? "full" : "view"; }

Json device_json(const access::Device& device) {
    return {{"id", device.id},
            {"name", device.name},
            {"role", word(device.role)},
            {"since", device.since.time_since_epoch().count()},
            {"seen", device.seen.time_since_epoch().count()}};
}

Response standing(const Entrance* entrance, const Request& request) {
    Caller who{is_own_computer(request.peer, request.here)};
    if (entrance != nullptr) who = caller_of(*entrance, request);
    const bool looks = entrance == nullptr || who.may_look();
    return answer_with({{"asks", entrance != nullptr},
                        {"may", who.may_change() ? "change"
                                : looks          ? "look"
                                                 : "nothing"},
                        {"own_computer", who.own_computer},
                        {"encrypted", entrance != nullptr && entrance->secure},
                        {"device", who.device ? device_json(*who.device) : Json(nullptr)}});
}

Response failed(const access::StateError& error) { return problem(500, error.message); }

std::string words(std::chrono::seconds wait) {
    if (wait.count() == 1) return "one second";
    if (wait.count() < 120) return fmt::format("{} seconds", wait.count());
    return fmt::format("{} minutes", std::chrono::ceil<std::chrono::minutes>(wait).count());
}

Response come_back(std::chrono::seconds wait, std::string_view why) {
    Response response = problem(429, fmt::format("{}Wait {} before the next try.", why, words(wait)));
    response.headers.emplace_back("Retry-After", std::to_string(wait.count()));
    return response;
}

// The device gets a new secret whatever it showed before, and what it showed opens nothing any more: nobody can hand
// someone a session and then share it.
Response let_in(Entrance& entrance, const access::Admission& admission, std::string_view shown) {
    if (const auto before = entrance.visitors.find(shown)) (void)entrance.visitors.remove(before->id);
    Response response = answer_with({{"device", device_json(admission.device)}});
    response.headers.emplace_back("Set-Cookie", cookie_line(entrance, admission.secret));
    return response;
}

struct SignIn {
    std::string passphrase;
    std::string hash;
    std::string name;
    Role role = Role::view;
    std::string address;
    std::string shown;  // the secret of an earlier sign-in of the same browser
    bool right = false;
};

Response after_hashing(Entrance& entrance, const SignIn& one) {
    if (!one.right) {
        const auto wait = entrance.passphrases.wait(one.address, Clock::now());
        if (wait.count() > 0) return come_back(wait, "That is not the passphrase. ");
        return problem(403, "That is not the passphrase. Try again.");
    }
    entrance.passphrases.succeeded(one.address);
    const auto admission = entrance.visitors.admit(one.name, one.role);
    return admission ? let_in(entrance, *admission, one.shown) : failed(admission.error());
}

Response sign_in(Entrance& entrance, const Request& request) {
    const auto body = object_of(request.body);
    const auto passphrase = body ? text_in(*body, "passphrase") : std::nullopt;
    const auto name = body ? text_in(*body, "name") : std::nullopt;
    if (!passphrase || passphrase->size() > access::longest_passphrase || !name)
        return problem(400, "Send the passphrase and a name for the device.");
    if (const auto fault = access::name_fault(*name); !fault.empty()) return problem(400, fault);
    auto one = std::make_shared<SignIn>();
    one->hash = entrance.visitors.passphrase();
    if (one->hash.empty())
        return problem(409, "No passphrase has been set. Set one on the computer, with `amphora devices passphrase`.");
    one->address = counted_as(request.peer);
    if (const auto wait = entrance.passphrases.ask(one->address, Clock::now()); wait.count() > 0)
        return come_back(wait, "There were too many wrong tries. ");
    one->passphrase = *passphrase;
    one->name = *name;
    one->role = asks_to_look_only(*body) ? Role::view : Role::full;
    one->shown = secret_in(entrance, request.cookie, "");
    Response response;
    response.errand =
        std::make_shared<const Errand>(Errand{[one] {
                                                  one->right = access::matches(one->hash, one->passphrase);
                                                  access::forget(one->passphrase);
                                              },
                                              [one, &entrance] { return after_hashing(entrance, *one); }});
    return response;
}

Response pair(Entrance& entrance, const Request& request) {
    const auto body = object_of(request.body);
    const auto token = body ? text_in(*body, "token") : std::nullopt;
    const auto name = body ? text_in(*body, "name") : std::nullopt;
    if (!token || !name) return problem(400, "Send the token of the code and a name for the device.");
    if (const auto fault = access::name_fault(*name); !fault.empty()) return problem(400, fault);
    const std::string address = counted_as(request.peer);
    if (const auto wait = entrance.tokens.ask(address, Clock::now()); wait.count() > 0)
        return come_back(wait, "There were too many codes that were not valid. ");
    const auto admission = entrance.visitors.redeem(*token, *name);
    if (!admission) return failed(admission.error());
    if (!*admission)
        return problem(403,
                       "This code was used already, or its ten minutes are over. Have another one shown, or sign in "
                       "with the passphrase.");
    entrance.tokens.succeeded(address);
    return let_in(entrance, **admission, secret_in(entrance, request.cookie, ""));
}

Response sign_out(Entrance& entrance, const Request& request) {
    const Caller who = caller_of(entrance, request);
    if (who.device)
        if (const auto gone = entrance.visitors.remove(who.device->id); !gone) return failed(gone.error());
    Response response = answer_with({{"signed_out", true}});
    response.headers.emplace_back("Set-Cookie", cookie_line(entrance, ""));
    return response;
}

Response invite(Entrance& entrance, const Request& request) {
    const auto body = object_of(request.body);
    if (!body) return problem(400, "Send an object; view_only says whether the device may look and nothing more.");
    const auto token = entrance.visitors.invite(asks_to_look_only(*body) ? Role::view : Role::full);
    if (!token) return failed(token.error());
    Json links = Json::array();
    for (const std::string& page : entrance.links ? entrance.links() : std::vector<std::string>{}) {
        const std::string link = page + "/#/pair?token=" + *token;
        if (const auto code = access::PairingCode::of(link))
            links.push_back({{"link", link}, {"size", code->size()}, {"path", access::svg_path(*code)}});
    }
    return answer_with({{"lasts_s", std::chrono::seconds(access::invitation_lasts).count()}, {"links", links}});
}

Response devices(Entrance* entrance) {
    Json list = Json::array();
    if (entrance != nullptr)
        for (const auto& device : entrance->visitors.devices()) list.push_back(device_json(device));
    return answer_with({{"devices", list}});
}

Response remove(Entrance& entrance, const Request& request) {
    const auto body = object_of(request.body);
    const auto id = body ? text_in(*body, "id") : std::nullopt;
    if (!id) return problem(400, "Send the id of the device.");
    const auto gone = entrance.visitors.remove(*id);
    if (!gone) return failed(gone.error());
    if (!*gone) return problem(404, "There is no such device (any more).");
    return answer_with({{"removed", true}});
}

}  // namespace

void add_access_api(Routes& routes, const Desk& desk) {
    const auto with_entrance = [&desk](Response (*handle)(Entrance&, const Request&)) {
        return [&desk, handle](const Request& request) {
            if (desk.entrance != nullptr) return handle(*desk.entrance, request);
            return problem(409, "This page asks nobody to sign in. Serve it with --lan to have it do so.");
        };
    };
    routes.get("/api/v1/access", [&desk](const Request& r) { return standing(desk.entrance, r); }, Access::knock);
    routes.get("/api/v1/access/devices", [&desk](const Request&) { return devices(desk.entrance); });
    const PostRules knock{.body_limit = small_body, .access = Access::knock};
    const PostRules change{.body_limit = small_body};
    routes.post("/api/v1/access/sign-in", with_entrance(sign_in), knock);
    routes.post("/api/v1/access/pair", with_entrance(pair), knock);
    routes.post("/api/v1/access/sign-out", with_entrance(sign_out), knock);
    routes.post("/api/v1/access/invite", with_entrance(invite), change);
    routes.post("/api/v1/access/devices/remove", with_entrance(remove), change);
}

}  // namespace amphora::web
