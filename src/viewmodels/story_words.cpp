#include "viewmodels/story_words.h"

#include <QLocale>

namespace discal::viewmodels {

namespace json = boost::json;
using journal::Kind;
using journal::textIn;

namespace {

QString qstring(std::string_view text) { return QString::fromUtf8(text.data(), static_cast<qsizetype>(text.size())); }

QString millimetres(std::int64_t um) {
    return StoryWords::tr("%1 mm").arg(QLocale().toString(static_cast<double>(um) / 1000, 'g', 4));
}

} // namespace

QString StoryWords::ofField(std::string_view field) {
    if (field == "sex")
        return tr("sex");
    if (field == "origin")
        return tr("origin");
    if (field == "code" || field == "next")
        return tr("code");
    if (field == "forewing_um")
        return tr("forewing");
    if (field == "at")
        return tr("time");
    if (field == "except")
        return tr("after all");
    if (field == "tagger")
        return tr("tagger");
    if (field == "hand")
        return tr("whose hand it left");
    if (field == "wear")
        return tr("wear");
    if (field == "mated")
        return tr("mated");
    if (field == "parasite_sample")
        return tr("sample");
    if (field == "cage")
        return tr("cage");
    return qstring(field);
}

QString StoryWords::ofValue(std::string_view field, const json::value* value) {
    if (value == nullptr || value->is_null())
        return field == "except" ? tr("let go") : tr("not said");
    if (value->is_bool())
        return value->as_bool() ? tr("yes") : tr("no");
    if (value->is_int64())
        return field == "forewing_um" ? millimetres(value->as_int64()) : QLocale().toString(value->as_int64());
    if (!value->is_string())
        return tr("something else");
    const std::string said(value->as_string());
    if (field == "sex")
        return FieldPhone::sexText(said);
    if (field == "origin")
        return FieldPhone::originText(said);
    if (field == "tagger" || field == "hand")
        return m_phone.personName(said);
    if (field == "except")
        return said == "stayed" ? tr("it stayed") : tr("it died");
    if (field == "at") {
        const auto offset = m_phone.clock().now().offset.count();
        return FieldPhone::clockText(said, offset);
    }
    return said.empty() ? tr("not said") : qstring(said);
}

QString StoryWords::ofWhy(std::string_view why) {
    if (why == "seen again")
        return tr("seen again");
    if (why == "slip")
        return tr("a slip of the finger");
    if (why == "exception from a cage let go")
        return tr("an exception when the cage was let go");
    return qstring(why);
}

void StoryWords::addMeasures(QStringList& parts, const json::object& body) {
    if (const auto um = journal::numberIn(body, "forewing_um"))
        parts << tr("forewing %1").arg(millimetres(*um));
    if (const auto wear = journal::numberIn(body, "wear"))
        parts << tr("wear %1 of %2", "a number, its scale").arg(*wear).arg(qstring(textIn(body, "wear_scale").value_or("")));
    if (const auto mated = journal::claimIn(body, "mated"))
        parts << (*mated ? tr("mated") : tr("not mated"));
    if (const auto sample = textIn(body, "parasite_sample"))
        parts << tr("sample %1").arg(qstring(*sample));
    if (journal::blobIn(body, "note")) {
        const QString note = m_phone.keptText(body, "note");
        parts << (note.isEmpty() ? tr("a note that was erased") : tr("“%1”", "a note").arg(note));
    }
}

void StoryWords::addRead(QStringList& parts, const json::object& body) {
    if (journal::numberIn(body, "read_per_mille"))
        parts << tr("code read by the camera");
    if (journal::blobIn(body, "picture") && m_phone.keptPicture(body, "picture").isNull())
        parts << tr("its picture is not here");
}

QString StoryWords::ofLine(const journal::Amended& line) {
    const json::object& body = line.line.body;
    if (line.isNewer)
        return tr("Something that a newer Discal wrote");
    QStringList parts;
    const auto add = [&](const QString& part) {
        if (!part.isEmpty())
            parts << part;
    };
    const auto addPlace = [&](std::string_view member) {
        if (const auto* place = journal::objectIn(body, member)) {
            add(m_phone.placeText(*place));
            // A site goes first, and then what is around it
            if (textIn(*place, "site"))
                add(m_phone.aroundText(*place));
        }
    };
    const bool hasTag = textIn(body, "tag") == "on";
    const bool isInferred = journal::claimIn(body, "inferred").value_or(false);
    QString what;
    switch (line.kind) {
    case Kind::ButterflyNoted:
        what = tr("Noted");
        add(qstring(textIn(body, "code").value_or("")));
        add(FieldPhone::sexText(std::string(textIn(body, "sex").value_or(""))));
        add(FieldPhone::originText(std::string(textIn(body, "origin").value_or(""))));
        addMeasures(parts, body);
        addRead(parts, body);
        addPlace("taken");
        if (const auto tagger = textIn(body, "tagger"))
            add(tr("tagged by %1").arg(m_phone.personName(std::string(*tagger))));
        break;
    case Kind::ButterflyHeld:
        what = tr("Into the cage");
        add(qstring(textIn(body, "cage").value_or("")));
        break;
    case Kind::ButterflyReleased: {
        const auto except = textIn(body, "except").value_or("");
        what = except == "stayed" ? tr("Not let go after all: it stayed")
               : except == "died" ? tr("Not let go after all: it died")
                                  : tr("Let go");
        if (except.empty()) {
            addPlace("place");
            if (const auto hand = textIn(body, "hand"))
                add(tr("from the hand of %1").arg(m_phone.personName(std::string(*hand))));
        }
        break;
    }
    case Kind::ButterflyEscaped:
        what = hasTag ? tr("Flew with its tag on") : tr("Flew without a tag");
        addPlace("place");
        break;
    case Kind::ButterflyDied:
        what = hasTag ? tr("Died, its tag on") : tr("Died, its tag off");
        break;
    case Kind::ButterflyUntagged:
        what = textIn(body, "why") == "hurt" ? tr("Hurt: let go without a tag") : tr("Too worn to carry a tag");
        addPlace("place");
        break;
    case Kind::ButterflyRetagged:
        what = tr("A second tag");
        add(qstring(textIn(body, "code").value_or("")));
        break;
    case Kind::ButterflyRecaptured: {
        const auto mark = textIn(body, "mark").value_or("");
        what = tr("Caught again");
        add(qstring(textIn(body, "code").value_or(textIn(body, "text").value_or(""))));
        add(mark == "worn"         ? tr("tag worn")
            : mark == "unreadable" ? tr("tag can’t be read")
            : mark == "gone"       ? tr("tag gone")
                                   : QString());
        add(FieldPhone::sexText(std::string(textIn(body, "sex").value_or(""))));
        addMeasures(parts, body);
        addRead(parts, body);
        addPlace("place");
        break;
    }
    case Kind::ButterflyMeasured:
        what = tr("Measured");
        addMeasures(parts, body);
        break;
    case Kind::TagSpoiled:
        what = tr("Tag %1 spoiled").arg(qstring(textIn(body, "code").value_or("")));
        add(tr("next tag %1").arg(qstring(textIn(body, "next").value_or(""))));
        break;
    default:
        return qstring(line.line.kind);
    }
    if (isInferred)
        add(tr("not seen, but told from the next one"));
    return parts.isEmpty() ? what : tr("%1: %2", "what happened: how").arg(what, parts.join(tr(", ", "in a list")));
}

} // namespace discal::viewmodels
