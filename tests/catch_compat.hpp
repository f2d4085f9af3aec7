#pragma once

// Catch2 version 2 (Debian 12) has one header; version 3 (Debian 13) splits it.
#if __has_include(<catch2/catch_all.hpp>)
#include <catch2/catch_all.hpp>
using namespace Catch;  // NOLINT: Approx and matchers moved there in version 3
#else
#include <catch2/catch.hpp>
#endif
