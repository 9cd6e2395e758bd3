// The small dense algebra of the filter: fixed size, no allocation, covariance kept exactly symmetric.
#pragma once

#include <array>
#include <cstddef>

namespace amphora {

template <std::size_t N>
using Vector = std::array<double, N>;

template <std::size_t N>
struct Symmetric {
    std::array<Vector<N>, N> row{};

    double& at(std::size_t r, std::size_t c) { return row[r][c]; }
    [[nodiscard]] double at(std::size_t r, std::size_t c) const { return row[r][c]; }

    [[nodiscard]] Vector<N> times(const Vector<N>& x) const {
        Vector<N> y{};
        for (std::size_t r = 0; r < N; ++r)
            for (std::size_t c = 0; c < N; ++c) y[c] += row[r][c] * x[r];  // symmetric: columns run through rows
        return y;
    }

    /// this += factor * v v'
    void add_outer(const Vector<N>& v, double factor) {
        for (std::size_t r = 0; r < N; ++r) {
            const double scaled = factor * v[r];
            for (std::size_t c = 0; c < N; ++c) row[r][c] += scaled * v[c];
        }
    }

    /// this += v w' + w v'
    void add_pair(const Vector<N>& v, const Vector<N>& w) {
        for (std::size_t r = 0; r < N; ++r)
            for (std::size_t c = 0; c < N; ++c) row[r][c] += v[r] * w[c] + w[r] * v[c];
    }
};

template <std::size_t N>
double dot(const Vector<N>& a, const Vector<N>& b) {
    double sum = 0.0;
    for (std::size_t k = 0; k < N; ++k) sum += a[k] * b[k];
    return sum;
}

}  // namespace amphora
