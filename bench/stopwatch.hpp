// How long something took: processor time of this thread, in seconds, so that it matters little what else runs.
#pragma once

#include <algorithm>
#include <ctime>
#include <vector>

namespace amphora::bench {

inline double processor_seconds() {
    timespec t{};
    ::clock_gettime(CLOCK_THREAD_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_nsec) * 1e-9;
}

template <class Work>
double seconds_of(Work work) {
    const double begin = processor_seconds();
    work();
    return processor_seconds() - begin;
}

/// The median of `times` runs.
template <class Work>
double median_seconds(int times, Work work) {
    std::vector<double> all;
    for (int i = 0; i < times; ++i) all.push_back(seconds_of(work));
    std::ranges::sort(all);
    return all[all.size() / 2];
}

}  // namespace amphora::bench
