// Waiting for what another thread will do.
#pragma once

#include <chrono>
#include <thread>

namespace amphora {

/// Whether the condition holds within six seconds; looks every 2 ms.
template <class Condition>
bool soon(Condition condition) {
    for (int i = 0; i < 3000 && !condition(); ++i) std::this_thread::sleep_for(std::chrono::milliseconds(2));
    return condition();
}

}  // namespace amphora
