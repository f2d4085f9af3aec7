#pragma once

#include "core/error.h"

#include <string>
#include <tl/expected.hpp>
#include <utility>

namespace discal {

/// A value, or why there is none. For what can fail for reasons outside the program (disk, bytes from outside,
/// a person's typing). Mark functions that return it `[[nodiscard]]`.
template <class T>
using Result = tl::expected<T, Error>;

inline tl::unexpected<Error> fail(Code code, std::string detail = {}, std::int64_t number = 0) {
    return tl::unexpected<Error>(Error{code, std::move(detail), number});
}

inline tl::unexpected<Error> fail(Error error) { return tl::unexpected<Error>(std::move(error)); }

} // namespace discal
