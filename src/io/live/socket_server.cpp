#include "io/live/socket_server.hpp"

#include <fmt/format.h>
#include <sys/stat.h>

#include <array>
#include <boost/asio/buffer.hpp>
#include <boost/asio/write.hpp>
#include <deque>
#include <exception>
#include <nlohmann/json.hpp>
#include <utility>

namespace amphora::live {

namespace asio = boost::asio;
using asio::local::stream_protocol;
using boost::system::error_code;
using Json = nlohmann::ordered_json;

namespace {

constexpr std::size_t longest_question = std::size_t{64} * 1024;
constexpr std::size_t most_answers_waiting = std::size_t{1024} * 1024;  // bytes that a slow listener may fall behind
constexpr std::size_t most_sessions = 32;

std::string line_of(const Json& json) { return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n"; }

}  // namespace

class SocketServer::Session : public std::enable_shared_from_this<Session> {
public:
    Session(stream_protocol::socket socket, SocketServer& server) : socket_(std::move(socket)), server_(&server) {}

    void read() {
        socket_.async_read_some(asio::buffer(room_), [self = shared_from_this()](error_code error, std::size_t got) {
            if (error || self->server_ == nullptr) return self->leave();
            self->take({self->room_.data(), got});
            if (self->server_ != nullptr) self->read();
        });
    }

    void send(const std::string& line) {
        waiting_bytes_ += line.size();
        if (waiting_bytes_ > most_answers_waiting) return leave();
        waiting_.push_back(line);
        if (waiting_.size() == 1) write();
    }

    void leave() {
        error_code ignored;
        ignored = socket_.close(ignored);
        if (server_ == nullptr) return;
        SocketServer& server = *std::exchange(server_, nullptr);
        server.watchers_.erase(this);
        server.sessions_.erase(shared_from_this());
    }
    void orphan() {
        server_ = nullptr;
        leave();
    }

private:
    void take(std::string_view bytes) {
        question_ += bytes;
        for (auto end = question_.find('\n'); end != std::string::npos; end = question_.find('\n')) {
            const std::string line = question_.substr(0, end);
            question_.erase(0, end + 1);
            send(server_->answer(line, *this));
            if (server_ == nullptr) return;
        }
        if (question_.size() > longest_question) leave();
    }

    void write() {
        asio::async_write(socket_, asio::buffer(waiting_.front()),
                          [self = shared_from_this()](error_code error, std::size_t sent) {
                              if (error) return self->leave();
                              self->waiting_bytes_ -= sent;
                              self->waiting_.pop_front();
                              if (!self->waiting_.empty()) self->write();
                          });
    }

    stream_protocol::socket socket_;
    SocketServer* server_;
    std::array<char, 4096> room_{};
    std::string question_;
    std::deque<std::string> waiting_;
    std::size_t waiting_bytes_ = 0;
};

SocketServer::~SocketServer() {
    for (const auto& session : std::exchange(sessions_, {})) session->orphan();
    std::error_code ignored;
    if (!path_.empty()) std::filesystem::remove(path_, ignored);
}

std::expected<void, std::string> SocketServer::listen(const std::filesystem::path& path) {
    if (path.string().size() > 100)
        return std::unexpected(
            fmt::format("{}: a socket's path has at most 100 characters; choose another with --socket", path.string()));
    std::error_code ignored;
    if (std::filesystem::is_socket(path, ignored)) std::filesystem::remove(path, ignored);
    const stream_protocol::endpoint endpoint(path.string());
    error_code error;
    error = acceptor_.open(endpoint.protocol(), error);
    if (!error) error = acceptor_.bind(endpoint, error);
    if (!error) error = acceptor_.listen(asio::socket_base::max_listen_connections, error);
    if (error) return std::unexpected(fmt::format("{}: cannot listen there: {}", path.string(), error.message()));
    ::chmod(path.c_str(), 0660);
    path_ = path;
    accept();
    return {};
}

void SocketServer::offer(const std::string& name, Request request) { requests_[name] = std::move(request); }

void SocketServer::tell(const std::string& line) {
    for (Session* watcher : std::set(watchers_)) watcher->send(line);
}

void SocketServer::accept() {
    acceptor_.async_accept([this](error_code error, stream_protocol::socket socket) {
        if (error == asio::error::operation_aborted) return;
        if (!error && sessions_.size() < most_sessions) {
            const auto session = std::make_shared<Session>(std::move(socket), *this);
            sessions_.insert(session);
            session->read();
        }
        accept();
    });
}

std::string SocketServer::answer(const std::string& line, Session& session) {
    const Json question = Json::parse(line, nullptr, false);
    Json reply = Json::object();
    if (question.is_object() && question.contains("id")) reply["id"] = question["id"];
    const auto refuse = [&](const std::string& why) {
        reply["error"] = why;
        return line_of(reply);
    };
    if (!question.is_object() || !question.contains("ask") || !question["ask"].is_string())
        return refuse(R"(expected a line like {"ask": "now"})");
    const auto name = question["ask"].get<std::string>();
    const auto known = requests_.find(name == "watch" ? "now" : name);
    if (known == requests_.end()) {
        std::string names = "watch";
        for (const auto& [other, unused] : requests_) names += ", " + other;
        return refuse(fmt::format("nobody here knows \"{}\"; there are {}", name, names));
    }
    try {
        reply[known->first] = known->second(question);
    } catch (const std::exception& error) {
        return refuse(fmt::format("this could not be answered: {}", error.what()));
    }
    if (name == "watch") watchers_.insert(&session);
    return line_of(reply);
}

}  // namespace amphora::live
