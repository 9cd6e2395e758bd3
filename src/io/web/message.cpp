#include "io/web/message.hpp"

#include <nlohmann/json.hpp>
#include <utility>

namespace amphora::web {

std::string_view phrase(unsigned status) {
    switch (status) {
        case 200:
            return "OK";
        case 202:
            return "Accepted";
        case 304:
            return "Not Modified";
        case 308:
            return "Permanent Redirect";
        case 400:
            return "Bad Request";
        case 401:
            return "Unauthorized";
        case 403:
            return "Forbidden";
        case 404:
            return "Not Found";
        case 405:
            return "Method Not Allowed";
        case 409:
            return "Conflict";
        case 413:
            return "Content Too Large";
        case 415:
            return "Unsupported Media Type";
        case 421:
            return "Misdirected Request";
        case 422:
            return "Unprocessable Content";
        case 429:
            return "Too Many Requests";
        case 431:
            return "Request Header Fields Too Large";
        case 500:
            return "Internal Server Error";
        case 503:
            return "Service Unavailable";
        case 505:
            return "HTTP Version Not Supported";
        default:
            return "";
    }
}

Response problem(unsigned status, std::string_view sentence) {
    Response response;
    response.status = status;
    response.type = "application/problem+json";
    response.body =
        Body(nlohmann::json{{"status", status}, {"title", phrase(status)}, {"detail", sentence}}.dump() + "\n");
    return response;
}

Response json(std::string text) {
    Response response;
    response.type = "application/json";
    response.body = Body(std::move(text));
    return response;
}

}  // namespace amphora::web
