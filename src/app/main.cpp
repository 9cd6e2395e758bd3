#include "app/program.hpp"

int main(int argc, char** argv) { return static_cast<int>(amphora::app::run_program(argc, argv)); }
