# Warnings are errors in our own code; optimisation and sanitizers are set here too.
add_library(amphora_warnings INTERFACE)
target_compile_options(amphora_warnings INTERFACE -Wall -Wextra -Wpedantic -Wconversion -Werror
    $<$<NOT:$<BOOL:${AMPHORA_BATCHES}>>:-Wshadow>  # what one file names is no shadow on the others of its batch
    $<$<CXX_COMPILER_ID:GNU>:-Wno-restrict>  # GCC 12 sees overlaps in string + string that are not there (its bug 105329)
    $<$<CXX_COMPILER_ID:Clang>:-Wno-deprecated-declarations>)  # std::stable_sort of GCC 12's library uses what C++17 retired
if(AMPHORA_SANITIZE)
    add_compile_options(-fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer)
    add_link_options(-fsanitize=address,undefined)
endif()
if(AMPHORA_FUZZ)
    add_compile_options(-fsanitize=fuzzer-no-link)
endif()
# The same bits on every machine: no contraction of a*b+c that one processor has and another lacks.
add_compile_options(-ffp-contract=off)
