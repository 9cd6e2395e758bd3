# The page, built from web/ once for all build folders, and held in the program.
set(page_folder ${CMAKE_SOURCE_DIR}/build/page)
file(GLOB_RECURSE page_inputs CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/web/src/* ${CMAKE_SOURCE_DIR}/web/public/*)
list(APPEND page_inputs ${CMAKE_SOURCE_DIR}/scripts/build-page)
foreach(file index.html package.json package-lock.json .npmrc tsconfig.json vite.config.ts embed.mjs)
    list(APPEND page_inputs ${CMAKE_SOURCE_DIR}/web/${file})
endforeach()
add_custom_command(OUTPUT ${page_folder}/page_files_data.cpp
    COMMAND ${CMAKE_SOURCE_DIR}/scripts/build-page ${page_folder}
    DEPENDS ${page_inputs} VERBATIM COMMENT "Building the page")
