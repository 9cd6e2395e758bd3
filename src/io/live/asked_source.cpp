#include "io/live/asked_source.hpp"

namespace amphora::live {
namespace {
constexpr int most_unanswered = 3;
}  // namespace

AskedSource::AskedSource(const SourceContext& context, const Maker& maker)
    : PlugSource(context), respondent_(maker(system(), description(), channels())), thread_(context.loop) {}

void AskedSource::open() {
    first_ = true;
    asking_ = false;
    unanswered_ = 0;
    every_interval([this] { ask(); });
}

void AskedSource::close() {
    thread_.run([respondent = respondent_] {
        respondent->hang_up();
        return SideThread::Then{};
    });
}

// A device that needs longer than the interval is asked again when it has answered.
void AskedSource::ask() {
    if (asking_) return;
    asking_ = true;
    thread_.run([this, respondent = respondent_, mine = run(), &clock = clock()] {
        auto answer = respondent->ask();
        const auto at = clock.now();
        return [this, mine, at, answer = std::move(answer)] {
            if (mine != run()) return;
            asking_ = false;
            answered(answer, at);
        };
    });
}

void AskedSource::answered(const Answer& answer, BootTime at) {
    if (!answer) {
        refuse();
        ++unanswered_;
        if (first_ || answer.error().lost || unanswered_ == most_unanswered) broken(answer.error().why);
        return;
    }
    const auto mine = run();
    unanswered_ = 0;
    if (first_) opened();
    first_ = false;
    for (const auto& figure : answer->figures) take(figure.channel, figure.value);
    deliver(at);
    if (mine == run() && !answer->complaint.empty()) complain(answer->complaint);
}

}  // namespace amphora::live
