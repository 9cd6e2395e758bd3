#include "core/pipeline/pipeline.hpp"

namespace amphora {

struct Pipeline::Parts {
    Oddities oddities;
};

Pipeline::Pipeline(const System&, PipelineOptions) : parts_(std::make_unique<Parts>()) {}
Pipeline::~Pipeline() = default;
Pipeline::Pipeline(Pipeline&&) noexcept = default;
Pipeline& Pipeline::operator=(Pipeline&&) noexcept = default;
bool Pipeline::push(const Reading&) { return false; }
Estimate Pipeline::now() const { return {}; }
const Oddities& Pipeline::oddities() const { return parts_->oddities; }
std::vector<Hindsight> Pipeline::hindsight() const { return {}; }

}  // namespace amphora
