#include "app/scratch_folder.hpp"

#include <stdlib.h>  // NOLINT(modernize-deprecated-headers): mkdtemp is POSIX

#include <stdexcept>
#include <string>

namespace amphora::app {

ScratchFolder::ScratchFolder() {
    std::string name = (std::filesystem::temp_directory_path() / "amphora-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr)
        throw std::runtime_error("no folder can be made in " + std::filesystem::temp_directory_path().string());
    path_ = name;
}

ScratchFolder::~ScratchFolder() {
    std::error_code none;
    std::filesystem::remove_all(path_, none);
}

}  // namespace amphora::app
