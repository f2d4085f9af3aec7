#pragma once

#include "core/result.h"

#include <SQLiteCpp/Exception.h>
#include <exception>
#include <new>
#include <type_traits>
#include <utility>

namespace discal::storage {

/// SQLite's extended result code as our Error: full disk, memory, corruption, busy and read-only are told apart.
[[nodiscard]] Error errorOf(const SQLite::Exception& exception);

/// An Error on its way out of nested code of this library; never crosses its border.
class Failure : public std::exception {
public:
    explicit Failure(Error error) : m_error(std::move(error)) {}
    [[nodiscard]] const Error& error() const { return m_error; }
    [[nodiscard]] const char* what() const noexcept override { return m_error.detail.c_str(); }

private:
    Error m_error;
};

/// The value, or Failure.
template <class T>
T need(Result<T> result) {
    if (!result)
        throw Failure(std::move(result.error()));
    if constexpr (!std::is_void_v<T>)
        return std::move(*result);
}

/// Runs `work` (which returns a Result) and turns what SQLite's skin or the standard library throws into an Error.
/// Every entry to this library goes through it: no exception crosses the border.
template <class Work>
auto guarded(Work&& work) -> decltype(work()) {
    try {
        return std::forward<Work>(work)();
    } catch (const SQLite::Exception& e) {
        return fail(errorOf(e));
    } catch (const Failure& e) {
        return fail(e.error());
    } catch (const std::bad_alloc&) {
        return fail(Code::OutOfMemory);
    } catch (const std::exception& e) {
        return fail(Code::Io, e.what());
    }
}

} // namespace discal::storage
