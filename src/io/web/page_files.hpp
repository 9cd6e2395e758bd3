// The page's files, built from web/ and held in the program.
#pragma once

#include <span>
#include <string_view>

#include "io/web/routes.hpp"

namespace amphora::web {

struct PageFile {
    std::string_view path;  // "/" for the page itself
    std::string_view type;
    std::string_view tag;           // entity tag, quotes included
    bool named_by_content = false;  // the name has a hash in it: it may be kept for ever
    std::string_view bytes;
    std::string_view gzipped;  // empty where it would not be smaller
};

/// All files of the built page; defined in a file that the build makes (scripts/build-page).
std::span<const PageFile> page_files();

/// Adds a GET route for each file, open to whoever reaches the server: there are no figures in them. The files must
/// live as long as the program.
void add_files(Routes& routes, std::span<const PageFile> files);

}  // namespace amphora::web
