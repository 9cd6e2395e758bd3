// Asio's coroutines, made to work with both compilers. Everything here that uses Asio includes this first.
#pragma once

#include <utility>  // Boost 1.74 uses std::exchange without including it

// Boost 1.74 does not know that clang has standard coroutines.
#if defined(__clang__) && !defined(BOOST_ASIO_HAS_CO_AWAIT)
#define BOOST_ASIO_HAS_CO_AWAIT 1
#endif

// GCC 12 takes the deallocation of a coroutine's frame, which Asio pools, for one that does not match; clang knows no
// such warning.
#if !defined(__clang__)
#pragma GCC diagnostic ignored "-Wmismatched-new-delete"
#endif

#include <boost/asio/awaitable.hpp>
#include <boost/asio/co_spawn.hpp>
#include <boost/asio/detached.hpp>
#include <boost/asio/redirect_error.hpp>
#include <boost/asio/this_coro.hpp>
#include <boost/asio/use_awaitable.hpp>
