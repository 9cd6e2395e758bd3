// A small HTTP server on a port of its own: keeps what it was sent, answers what it is told to.
#pragma once

#include <atomic>
#include <boost/asio/ip/tcp.hpp>
#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/http.hpp>
#include <deque>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

namespace amphora {

class HttpServer {
public:
    struct Request {
        std::string target;
        std::string body;
        std::string token;
        std::string type;
    };

    /// Answers with these codes in turn, then with 200; -1 hangs up without an answer.
    explicit HttpServer(std::deque<int> answers = {})
        : answers_(std::move(answers)), acceptor_(loop_, {boost::asio::ip::make_address("127.0.0.1"), 0}) {
        thread_ = std::thread([this] { serve(); });
    }
    ~HttpServer() {
        ended_ = true;
        boost::system::error_code ignored;
        boost::asio::ip::tcp::socket(loop_).connect(acceptor_.local_endpoint(), ignored);
        thread_.join();
    }
    HttpServer(const HttpServer&) = delete;
    HttpServer& operator=(const HttpServer&) = delete;

    [[nodiscard]] std::string url(const std::string& target) const {
        return "http://127.0.0.1:" + std::to_string(acceptor_.local_endpoint().port()) + target;
    }
    [[nodiscard]] std::vector<Request> requests() const {
        const std::scoped_lock lock(mutex_);
        return requests_;
    }

private:
    void serve() {
        namespace http = boost::beast::http;
        while (!ended_) {
            boost::system::error_code error;
            boost::asio::ip::tcp::socket socket(loop_);
            acceptor_.accept(socket, error);
            if (error || ended_) return;
            boost::beast::flat_buffer buffer;
            http::request<http::string_body> request;
            http::read(socket, buffer, request, error);
            if (error) continue;
            int answer = 200;
            {
                const std::scoped_lock lock(mutex_);
                requests_.push_back({std::string(request.target()), request.body(),
                                     std::string(request[http::field::authorization]),
                                     std::string(request[http::field::content_type])});
                if (!answers_.empty()) {
                    answer = answers_.front();
                    answers_.pop_front();
                }
            }
            if (answer < 0) continue;
            http::response<http::string_body> response(static_cast<http::status>(answer), 11);
            if (answer / 100 == 3) response.set(http::field::location, url("/elsewhere"));
            response.keep_alive(false);
            response.prepare_payload();
            http::write(socket, response, error);
        }
    }

    mutable std::mutex mutex_;
    std::deque<int> answers_;
    std::vector<Request> requests_;
    std::atomic<bool> ended_ = false;
    boost::asio::io_context loop_;
    boost::asio::ip::tcp::acceptor acceptor_;
    std::thread thread_;
};

}  // namespace amphora
