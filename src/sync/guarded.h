#pragma once

#include "core/result.h"

#include <exception>
#include <new>
#include <utility>

namespace discal::sync {

/// Runs `work` (which returns a Result) and turns what the standard library throws into an Error:
/// OutOfMemory, or Io with the library's words. Every public function of this library that allocates goes
/// through it.
template <class Work>
auto guarded(Work&& work) -> decltype(work()) {
    try {
        return std::forward<Work>(work)();
    } catch (const std::bad_alloc&) {
        return fail(Code::OutOfMemory);
    } catch (const std::exception& e) {
        return fail(Code::Io, e.what());
    }
}

} // namespace discal::sync
