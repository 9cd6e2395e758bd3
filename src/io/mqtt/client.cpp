#include "io/mqtt/client.hpp"

#include <fmt/format.h>
#include <mosquitto.h>

#include <atomic>
#include <boost/asio/post.hpp>
#include <cerrno>
#include <chrono>
#include <condition_variable>
#include <cstring>
#include <fstream>
#include <map>
#include <mutex>
#include <thread>
#include <utility>

namespace amphora::mqtt {
namespace {

constexpr int keepalive_seconds = 15;
constexpr int poll_milliseconds = 100;
constexpr std::chrono::seconds patience_for_answer{10};
constexpr int most_waiting = 1000;  // messages, either way

struct Library {
    Library() { mosquitto_lib_init(); }
};

struct Release {
    void operator()(mosquitto* handle) const { mosquitto_destroy(handle); }
};

std::string first_line(const std::string& file) {
    std::ifstream in(file);
    std::string line;
    std::getline(in, line);
    return line;
}

}  // namespace

// Both threads look at this; the loop's thread owns the Client, the side thread may outlive it.
struct Client::Shared : std::enable_shared_from_this<Client::Shared> {
    Shared(boost::asio::io_context& of, Login with, Ears what)
        : loop(of), login(std::move(with)), ears(std::move(what)) {}

    boost::asio::io_context& loop;
    Login login;
    Ears ears;  // the loop's thread only
    std::unique_ptr<mosquitto, Release> handle;

    std::mutex mutex;
    std::condition_variable changed;
    bool ended = false;    // by the owner: neither `loop` nor `ears` may be touched any more
    bool running = false;  // a thread is at work

    std::atomic<bool> connected{false};
    std::atomic<bool> refused{false};
    std::atomic<int> coming{0};  // messages on their way to the loop
    std::atomic<int> going{0};   // messages on their way to the broker
    std::atomic<std::uint64_t> dropped{0};
    std::string why;  // the side thread only
    // By the library's number, what is to be called when the broker has it. Recursive: in publish() the library may say
    // of another message that it is gone.
    std::recursive_mutex expected_mutex;
    std::map<int, std::function<void()>> expected;

    template <class Task>
    void tell(Task task) {
        const std::scoped_lock lock(mutex);
        if (ended) return;
        boost::asio::post(loop, [self = shared_from_this(), task = std::move(task)] {
            {
                const std::scoped_lock look(self->mutex);
                if (self->ended) return;
            }
            task(*self);
        });
    }

    [[nodiscard]] bool over() {
        const std::scoped_lock lock(mutex);
        return ended;
    }

    void talk();
    void work();
    void heard(const mosquitto_message& raw);
};

namespace {

Client::Shared& shared_of(void* object) { return *static_cast<Client::Shared*>(object); }

void on_connect(mosquitto*, void* object, int code) {
    auto& shared = shared_of(object);
    if (code != 0) {
        shared.why = fmt::format("the broker refuses: {}", mosquitto_connack_string(code));
        shared.refused = true;
        return;
    }
    shared.connected = true;
    shared.tell([](Client::Shared& s) {
        if (s.ears.connected) s.ears.connected();
    });
}

void on_message(mosquitto*, void* object, const mosquitto_message* raw) { shared_of(object).heard(*raw); }

void on_publish(mosquitto*, void* object, int number) {
    auto& shared = shared_of(object);
    --shared.going;
    const std::scoped_lock lock(shared.expected_mutex);
    const auto found = shared.expected.find(number);
    if (found == shared.expected.end()) return;
    found->second();
    shared.expected.erase(found);
}

}  // namespace

void Client::Shared::heard(const mosquitto_message& raw) {
    if (raw.payloadlen < 0 || static_cast<std::size_t>(raw.payloadlen) > longest_payload || coming >= most_waiting) {
        ++dropped;
        return;
    }
    ++coming;
    const auto* bytes = static_cast<const char*>(raw.payload);
    Message message{raw.topic, std::string(bytes == nullptr ? "" : bytes, static_cast<std::size_t>(raw.payloadlen)),
                    raw.qos, raw.retain};
    tell([message = std::move(message)](Shared& s) {
        --s.coming;
        if (s.ears.message) s.ears.message(message);
    });
}

// One connection from its beginning to its end. The name of the host is looked up here, which may take long.
void Client::Shared::talk() {
    connected = false;
    refused = false;
    why.clear();
    going = 0;
    if (const int code = mosquitto_connect_async(handle.get(), login.host.c_str(), login.port, keepalive_seconds);
        code != MOSQ_ERR_SUCCESS) {
        why = code == MOSQ_ERR_ERRNO ? std::strerror(errno) : mosquitto_strerror(code);
        return;
    }
    const auto until = std::chrono::steady_clock::now() + patience_for_answer;
    while (!over() && !refused) {
        const int code = mosquitto_loop(handle.get(), poll_milliseconds, 1);
        if (code != MOSQ_ERR_SUCCESS) {
            if (why.empty()) why = code == MOSQ_ERR_ERRNO ? std::strerror(errno) : mosquitto_strerror(code);
            break;
        }
        if (!connected && std::chrono::steady_clock::now() > until) {
            why = "no answer";
            break;
        }
    }
    mosquitto_disconnect(handle.get());
    mosquitto_loop(handle.get(), 0, 1);
    connected = false;
}

void Client::Shared::work() {
    talk();
    {
        const std::scoped_lock lock(mutex);
        running = false;
    }
    changed.notify_all();
    tell([text = fmt::format("{}:{}: {}", login.host, login.port, why)](Shared& s) {
        if (s.ears.lost) s.ears.lost(text);
    });
}

Client::Client(boost::asio::io_context& loop, Login login, std::optional<Message> will, Ears ears)
    : shared_(std::make_shared<Shared>(loop, std::move(login), std::move(ears))), hope_(loop.get_executor()) {
    static const Library library;
    auto& s = *shared_;
    s.handle.reset(mosquitto_new(nullptr, true, &s));
    auto* handle = s.handle.get();
    mosquitto_threaded_set(handle, true);
    mosquitto_connect_callback_set(handle, &on_connect);
    mosquitto_message_callback_set(handle, &on_message);
    mosquitto_publish_callback_set(handle, &on_publish);
    if (!s.login.user.empty()) {
        const auto password = s.login.password_file.empty() ? std::string() : first_line(s.login.password_file);
        mosquitto_username_pw_set(handle, s.login.user.c_str(), password.empty() ? nullptr : password.c_str());
    }
    if (will)
        mosquitto_will_set(handle, will->topic.c_str(), static_cast<int>(will->payload.size()), will->payload.data(),
                           will->quality, will->retained);
}

Client::~Client() {
    const std::scoped_lock lock(shared_->mutex);
    shared_->ended = true;
}

void Client::take_leave() {
    std::unique_lock lock(shared_->mutex);
    shared_->ended = true;
    shared_->changed.wait_for(lock, std::chrono::seconds(1), [this] { return !shared_->running; });
    hope_.reset();
}

void Client::connect() {
    {
        const std::scoped_lock lock(shared_->mutex);
        if (shared_->running) return;
        shared_->running = true;
    }
    std::thread([shared = shared_] { shared->work(); }).detach();
}

void Client::subscribe(const std::string& topic) {
    mosquitto_subscribe(shared_->handle.get(), nullptr, topic.c_str(), 0);
}

bool Client::publish(const Message& message, std::function<void()> arrived) {
    if (!shared_->connected || shared_->going >= most_waiting) return false;
    ++shared_->going;
    const std::scoped_lock lock(shared_->expected_mutex);  // the answer may be faster than we
    int number = 0;
    const int code = mosquitto_publish(shared_->handle.get(), &number, message.topic.c_str(),
                                       static_cast<int>(message.payload.size()), message.payload.data(),
                                       message.quality, message.retained);
    if (code == MOSQ_ERR_SUCCESS) {
        if (arrived) shared_->expected[number] = std::move(arrived);
        return true;
    }
    --shared_->going;
    return false;
}

std::uint64_t Client::dropped() const { return shared_->dropped; }

}  // namespace amphora::mqtt
