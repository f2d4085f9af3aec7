#pragma once

#include "core/journal/kind.h"
#include "core/result.h"

#include <boost/json.hpp>
#include <cstdint>
#include <span>
#include <string_view>

namespace discal::journal {

/// A field of a line that a person may say anew, and what its value can be. Odd values are allowed and
/// doubted later; what can't be such a value is refused.
struct Correctable {
    enum class Value {
        Code,   ///< a tag code, in its canonical text
        Number, ///< whole, from `least` to `most`
        Claim,  ///< true or false; typed yes or no
        Time,   ///< as lines hold it; typed as RFC 3339
        Word,   ///< one of `words`
        Name,   ///< text, not empty
        Text,   ///< text, or empty
        Id,     ///< of a person, a site, a rearing lot
        Place,  ///< {site?, position?}, at least one; the position typed
    };
    std::string_view field;
    Value value;
    std::int64_t least{0};
    std::int64_t most{0};
    std::string_view words{}; ///< parted by blanks
};

/// What can be said anew of lines of that kind; nothing for kinds that only an act of their own can change
/// (roles, amendments, settled doubts, erasures) and for unknown ones. `at` and `offset_min` are the line's
/// own members, all else its body's. What the program inferred (`inferred`, `earliest`, `latest`), what ties
/// lines together (ids, `session`, `device`, `to`) and what is kept beside the lines (`note`, initials) is
/// not among them.
[[nodiscard]] std::span<const Correctable> correctableOf(Kind kind);
[[nodiscard]] const Correctable* correctable(Kind kind, std::string_view field);

/// A value as typed, as lines hold it. BadInput with the legal form, OutOfRange with the range; errors of
/// codes. A Place is not typed as one text: BadInput.
[[nodiscard]] Result<boost::json::value> correctedValue(const Correctable& field, std::string_view typed);
/// The same for a value that is as lines hold it; NotAPosition for a place that is none.
[[nodiscard]] Result<void> checkCorrected(const Correctable& field, const boost::json::value& value);

/// Whether a body, as corrected, still holds together: wear with the scale that it was judged on, a run of
/// codes that ends where its scheme does. OutOfRange, BadInput or NotACode.
[[nodiscard]] Result<void> checkCorrectedBody(Kind kind, const boost::json::object& body);

} // namespace discal::journal
