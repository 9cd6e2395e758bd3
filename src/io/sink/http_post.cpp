#include "io/sink/http_post.hpp"

#include <curl/curl.h>
#include <fmt/format.h>

#include <array>
#include <fstream>
#include <memory>

namespace amphora::sink {
namespace {

struct Library {
    Library() { curl_global_init(CURL_GLOBAL_DEFAULT); }
};

struct End {
    void operator()(CURL* handle) const { curl_easy_cleanup(handle); }
    void operator()(curl_slist* list) const { curl_slist_free_all(list); }
};
using Handle = std::unique_ptr<CURL, End>;
using Headers = std::unique_ptr<curl_slist, End>;

std::size_t let_go(char*, std::size_t size, std::size_t count, void*) { return size * count; }

int stop_asked(void* stop, curl_off_t, curl_off_t, curl_off_t, curl_off_t) {
    return static_cast<const std::stop_token*>(stop)->stop_requested() ? 1 : 0;
}

std::string first_line(const std::string& file) {
    std::ifstream in(file);
    std::string line;
    std::getline(in, line);
    return line;
}

void add(Headers& headers, const std::string& line) {
    headers.reset(curl_slist_append(headers.release(), line.c_str()));
}

Headers headers_of(const HttpPost& what) {
    Headers headers;
    add(headers, "Content-Type: application/json");
    add(headers, "Expect:");  // some servers never answer to it
    if (!what.token_file.empty()) add(headers, "Authorization: Bearer " + first_line(what.token_file));
    return headers;
}

bool may_pass(long status) { return status == 408 || status == 429 || status >= 500; }

}  // namespace

std::expected<void, ErrandFailure> post(const HttpPost& what, const std::stop_token& stop) {
    static const Library library;
    const Handle handle(curl_easy_init());
    if (!handle) return std::unexpected(ErrandFailure{"no memory for a connection", true});
    const Headers headers = headers_of(what);
    std::array<char, CURL_ERROR_SIZE> why{};
    CURL* h = handle.get();
    curl_easy_setopt(h, CURLOPT_URL, what.url.c_str());
    curl_easy_setopt(h, CURLOPT_PROTOCOLS_STR, "http,https");
    curl_easy_setopt(h, CURLOPT_POSTFIELDSIZE_LARGE, static_cast<curl_off_t>(what.body.size()));
    curl_easy_setopt(h, CURLOPT_POSTFIELDS, what.body.data());
    curl_easy_setopt(h, CURLOPT_HTTPHEADER, headers.get());
    curl_easy_setopt(h, CURLOPT_NOSIGNAL, 1L);
    curl_easy_setopt(h, CURLOPT_TIMEOUT_MS, static_cast<long>(what.limit.count()));
    curl_easy_setopt(h, CURLOPT_WRITEFUNCTION, &let_go);
    curl_easy_setopt(h, CURLOPT_NOPROGRESS, 0L);
    curl_easy_setopt(h, CURLOPT_XFERINFOFUNCTION, &stop_asked);
    curl_easy_setopt(h, CURLOPT_XFERINFODATA, &stop);
    curl_easy_setopt(h, CURLOPT_ERRORBUFFER, why.data());
    const CURLcode code = curl_easy_perform(h);
    if (code != CURLE_OK) {
        const bool hopeless = code == CURLE_URL_MALFORMAT || code == CURLE_UNSUPPORTED_PROTOCOL;
        return std::unexpected(ErrandFailure{
            fmt::format("{}: {}", what.url, why[0] != '\0' ? why.data() : curl_easy_strerror(code)), !hopeless});
    }
    long status = 0;
    curl_easy_getinfo(h, CURLINFO_RESPONSE_CODE, &status);
    if (status >= 200 && status < 300) return {};
    return std::unexpected(ErrandFailure{fmt::format("{}: the server answers {}", what.url, status), may_pass(status)});
}

}  // namespace amphora::sink
