// What a mapping makes of the number in a cell.
#pragma once

#include <cmath>

#include "core/quantity/shown.hpp"
#include "io/intake/cells.hpp"
#include "io/intake/mapping.hpp"

namespace amphora::intake {

/// Text * scale + offset, as the decimal that it is: 13270 mV are 13.27 V and nothing else.
class Conversion {
public:
    Conversion() = default;
    explicit Conversion(const ValueColumn& value) : scale_(value.scale), offset_(value.offset) {
        const double inverse = std::round(1.0 / value.scale);
        if (std::abs(inverse) > 1.0 && std::abs(inverse * value.scale - 1.0) < 1e-12) divisor_ = inverse;
    }
    [[nodiscard]] double operator()(const CellNumber& number) const {
        if (number.unit)
            return std::copysign(1.0, scale_) * shown(number.value * number.unit->scale + number.unit->offset);
        const double scaled = divisor_ != 0.0 ? number.value / divisor_
                              : scale_ == 1.0 ? number.value
                                              : shown(number.value * scale_);
        return offset_ == 0.0 ? scaled : shown(scaled + offset_);
    }

private:
    double scale_ = 1.0;
    double offset_ = 0.0;
    double divisor_ = 0.0;
};

}  // namespace amphora::intake
