#include "io/web/routes.hpp"

#include <utility>

namespace amphora::web {

void Routes::get(std::string path, Handler handle, Access access) {
    routes_.push_back({Method::get, std::move(path), std::move(handle), 0, nullptr, access});
}

void Routes::post(std::string path, Handler handle, PostRules rules) {
    routes_.push_back(
        {Method::post, std::move(path), std::move(handle), rules.body_limit, nullptr, rules.access, rules.body});
}

void Routes::events(std::string path, EventChannel& channel) {
    routes_.push_back({Method::get, std::move(path), {}, 0, &channel});
}

const Route* Routes::find(Method method, std::string_view path) const {
    for (const Route& route : routes_) {
        if (route.method == method && route.path == path) return &route;
    }
    return nullptr;
}

std::string_view Routes::allowed(std::string_view path) const {
    const bool get = find(Method::get, path) != nullptr;
    const bool post = find(Method::post, path) != nullptr;
    if (get && post) return "GET, HEAD, POST";
    if (get) return "GET, HEAD";
    return post ? "POST" : "";
}

}  // namespace amphora::web
