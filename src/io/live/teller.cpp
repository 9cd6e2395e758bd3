#include "io/live/teller.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <mutex>
#include <utility>
#include <vector>

#include "io/sink/http_post.hpp"

namespace amphora::live {
namespace {

using Json = nlohmann::ordered_json;
using Clock = std::chrono::steady_clock;

constexpr std::size_t most_open = 100;
constexpr std::size_t most_late = 20;
constexpr Second longest_late(7 * 24 * seconds_per_hour);
constexpr std::chrono::minutes late_after{2};

std::string body_of(const Word& word, bool late) {
    Json message = word.message;
    message["late"] = late;
    if (late) message["text"] = word.late;
    return message.dump(-1, ' ', false, Json::error_handler_t::replace);
}

bool too_old(const Word& word, std::optional<Instant> now) {
    const auto at = word.message.find("at_us");
    return now && at != word.message.end() && at->is_number_integer() &&
           *now - Instant{at->get<std::int64_t>()} > longest_late;
}

std::vector<Word> words_in(const Json& list) {
    std::vector<Word> words;
    if (!list.is_array()) return words;
    for (const Json& kept : list)
        if (kept.is_object() && kept.contains("message") && kept["message"].is_object() && kept.contains("notice") &&
            kept["notice"].is_string() && kept.contains("late") && kept["late"].is_string())
            words.push_back({kept["notice"], kept["message"], kept["late"]});
    return words;
}

}  // namespace

/// Numbers of what arrived, put here by the threads that send.
class Teller::Arrivals {
public:
    void put(std::uint64_t number) {
        const std::scoped_lock lock(mutex_);
        numbers_.push_back(number);
    }
    [[nodiscard]] std::vector<std::uint64_t> take() {
        const std::scoped_lock lock(mutex_);
        return std::exchange(numbers_, {});
    }

private:
    std::mutex mutex_;
    std::vector<std::uint64_t> numbers_;
};

Teller::Teller(const Protection& protection, BrokerLink* broker)
    : protection_(protection), broker_(broker), arrivals_(std::make_shared<Arrivals>()) {
    posts_.emplace(most_open);
}

void Teller::owe(Word word) {
    if (std::ranges::find(protection_.notices, word.notice, &described::Notice::name) == protection_.notices.end())
        return;  // another description than that of the run that kept it
    if (open_.size() >= most_open) open_.pop_front();
    open_.push_back({++number_, std::move(word)});
}

void Teller::tell() {
    for (Open& open : open_)
        if (!std::exchange(open.begun, true)) send(open.number, open.word);
}

// What it says depends on when it goes out: after hours without a network "the voltage is" would be wrong.
void Teller::send(std::uint64_t number, const Word& word) {
    const auto& notice = *std::ranges::find(protection_.notices, word.notice, &described::Notice::name);
    const auto body = [word, late = word.message.value("late", false), begun = Clock::now()] {
        return body_of(word, late || Clock::now() - begun > late_after);
    };
    const auto arrived = [arrivals = arrivals_, number] { arrivals->put(number); };
    if (notice.kind == described::NoticeKind::mqtt) return broker_->post(notice.to, body, arrived);
    posts_->add([body, arrived, to = notice.to, token_file = notice.token_file](const std::stop_token& stop) {
        auto sent = sink::post({.url = to, .body = body(), .token_file = token_file}, stop);
        if (sent || !sent.error().again) arrived();
        return sent;
    });
}

bool Teller::gather() {
    const auto numbers = arrivals_->take();
    for (const std::uint64_t number : numbers)
        std::erase_if(open_, [&](const Open& open) { return open.number == number; });
    return !numbers.empty();
}

Json Teller::untold() const {
    Json list = Json::array();
    for (const auto& [number, word, begun] : open_)
        list.push_back({{"notice", word.notice}, {"message", word.message}, {"late", word.late}});
    return list;
}

void Teller::owe_late(const Json& untold, std::optional<Instant> now) {
    auto words = words_in(untold);
    std::erase_if(words, [&](const Word& word) { return too_old(word, now); });
    const std::size_t left_out = words.size() - std::min(words.size(), most_late);
    words.erase(words.begin(), words.begin() + static_cast<std::ptrdiff_t>(left_out));
    if (left_out > 0)
        words.front().late += fmt::format(" {} older ones are not told; they are in the record.", left_out);
    for (Word& word : words) {
        word.message["late"] = true;
        owe(std::move(word));
    }
}

}  // namespace amphora::live
