#include "cli/reading_words.h"

namespace discal::cli {

using services::Refusal;

std::string_view reasonFor(Refusal why) {
    switch (why) {
    case Refusal::NoTag:
        return "no tag seen";
    case Refusal::TooFar:
        return "the tag is too small in the picture";
    case Refusal::Blurred:
        return "blurred";
    case Refusal::Glare:
        return "glare";
    case Refusal::Covered:
        return "something covers the print";
    case Refusal::Unsure:
        break;
    }
    return "another code is nearly as likely";
}

} // namespace discal::cli
