#define CATCH_CONFIG_RUNNER
#include "catch_compat.hpp"

int main(int argc, char* argv[]) { return Catch::Session().run(argc, argv); }
