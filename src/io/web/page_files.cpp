#include "io/web/page_files.hpp"

#include <string>

namespace amphora::web {

void add_files(Routes& routes, std::span<const PageFile> files) {
    for (const PageFile& file : files) {
        routes.get(
            std::string(file.path),
            [&file](const Request&) {
                Response response;
                response.type = file.type;
                response.tag = file.tag;
                response.keep = file.named_by_content ? Keep::for_ever : Keep::ask_again;
                response.body = Body::living_forever(file.bytes);
                response.gzipped = Body::living_forever(file.gzipped);
                return response;
            },
            Access::knock);
    }
}

}  // namespace amphora::web
