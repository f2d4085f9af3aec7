#include "cli/error_text.h"
#include "cli/verbs.h"
#include "cli/workbench.h"
#include "sync/delivery.h"
#include "sync/parcel_file.h"

#include <memory>

namespace discal::cli {

namespace json = boost::json;

namespace {

struct Typed {
    std::string out;
    std::string device;
    std::int64_t from{1};
    std::vector<std::string> files;
    bool isAccepted{false};
};

std::string rangeWords(std::int64_t from, std::int64_t to) {
    return to < from    ? "no line"
           : from == to ? "line " + std::to_string(from)
                        : "lines " + std::to_string(from) + " to " + std::to_string(to);
}

int write(const Call& call, const Typed& typed) {
    // Another's chain goes as it was signed; our own is signed now, which writes.
    auto bench = typed.device.empty() ? Workbench::forWriting(call) : Workbench::forReading(call);
    if (!bench)
        return refuse(bench.error());
    journal::DeviceId device = (*bench)->journal().device();
    if (!typed.device.empty()) {
        const auto found = (*bench)->names.findDevice(typed.device);
        if (!found)
            return refuse(found.error());
        if (*found == device) {
            bench->reset();
            bench = Workbench::forWriting(call);
            if (!bench)
                return refuse(bench.error());
        }
        device = *found;
    }
    const auto delivery = sync::deliveryOf((*bench)->journal(), device, typed.from, sync::Blobs::With);
    if (!delivery && delivery.error().code == Code::NothingToDo)
        return refuse("Nothing to write: " + (*bench)->names.device(device.text()) +
                      " has no signed line from " + std::to_string(typed.from) + " on (the last is " +
                      std::to_string(delivery.error().number) + ").");
    if (!delivery)
        return refuse(delivery.error());
    if (auto written = sync::writeParcelFile(typed.out, *delivery); !written)
        return refuse(written.error());
    const Output out(call.isJson);
    out.say(
        "Written to " + typed.out + ": " + rangeWords(delivery->from, delivery->head.seq) + " of " +
        (*bench)->names.device(device.text()) + " with " +
        counted(static_cast<std::int64_t>(delivery->blobs.size()), "text or picture", "texts or pictures") +
        ", signed. It holds people's initials, so hand it on with care.");
    out.put({{"parcel", typed.out},
             {"device", device.text()},
             {"from", delivery->from},
             {"to", delivery->head.seq},
             {"lines", delivery->lines.size()},
             {"blobs", delivery->blobs.size()}});
    return kDone;
}

/// How one file went.
enum class Went { Taken, Refused, WaitsForEarlier };

Went readOne(const Output& out, Workbench& bench, const std::string& path, bool isAccepted, bool isLastTry) {
    const auto said = [&](const std::string& sentence) {
        tell(path + ": " + sentence);
        return Went::Refused;
    };
    const auto delivery = sync::readParcelFile(path);
    if (!delivery)
        return said(textOf(delivery.error()));
    const auto chain = bench.journal().file().chain(delivery->device);
    if (!chain)
        return said(textOf(chain.error()));
    const bool isKnown =
        chain->has_value() || bench.projections().roles().now(delivery->device) != station::Role::None;
    if (!isKnown && !isAccepted) {
        std::string name;
        if (delivery->from == 1 && !delivery->lines.empty())
            if (const auto first = journal::parseLine(delivery->lines.front()))
                name = journal::textIn(first->body, "name").value_or("");
        out.put({{"parcel", path},
                 {"device", delivery->device.text()},
                 {"name", name},
                 {"lines", delivery->lines.size()},
                 {"waits", true}});
        return said(
            "it waits. " + counted(static_cast<std::int64_t>(delivery->lines.size()), "line", "lines") +
            " of device " + delivery->device.text() + (name.empty() ? "" : ", which calls itself " + name) +
            ", whom this journal does not know. Nothing was taken in; if you know whose they are, give "
            "--accept.");
    }
    const auto receipt = bench.journal().receive(*delivery);
    if (!receipt && receipt.error().code == Code::Gap && !isLastTry)
        return Went::WaitsForEarlier;
    if (!receipt)
        return said(textOf(receipt.error()));
    std::string text = path + ": " + counted(receipt->fresh, "new line", "new lines") + " of " +
                       bench.names.device(delivery->device.text());
    if (receipt->known > 0)
        text += ", " + std::to_string(receipt->known) + " known already";
    if (receipt->blobs > 0)
        text += ", " + counted(receipt->blobs, "text or picture", "texts or pictures");
    if (receipt->forked > 0)
        text += ", " + std::to_string(receipt->forked) +
                " beside the chain, since it went on in two ways; all are kept";
    out.say(text + ". Saved.");
    out.put({{"parcel", path},
             {"device", delivery->device.text()},
             {"fresh", receipt->fresh},
             {"known", receipt->known},
             {"forked", receipt->forked},
             {"blobs", receipt->blobs},
             {"head", receipt->head.seq},
             {"started_new_chain", receipt->startedNewChain}});
    if (receipt->startedNewChain)
        if (auto started = bench.startChain(); !started)
            return said(textOf(started.error()));
    return Went::Taken;
}

int read(const Call& call, const Typed& typed) {
    const auto bench = Workbench::forWriting(call);
    if (!bench)
        return refuse(bench.error());
    const Output out(call.isJson);
    const auto doubtsNow = [&] {
        std::vector<std::string> keys;
        if (const auto doubts = (*bench)->projections().doubts())
            for (const auto& d : *doubts)
                if (!d.settled)
                    keys.push_back(d.doubt.key());
        return keys.size();
    };
    const auto before = doubtsNow();
    bool isAllTaken = true;
    std::vector<std::string> files = typed.files;
    // Parcels of one chain may come in any order: those that lack earlier lines are tried again after the
    // others.
    for (bool isLastTry = false; !files.empty();) {
        std::vector<std::string> waiting;
        for (const auto& path : files) {
            const Went went = readOne(out, **bench, path, typed.isAccepted, isLastTry);
            if (went == Went::WaitsForEarlier)
                waiting.push_back(path);
            isAllTaken = isAllTaken && went != Went::Refused;
        }
        isLastTry = waiting.size() == files.size();
        files = std::move(waiting);
    }
    if (const auto after = doubtsNow(); after > before)
        out.say("To check: " + std::to_string(after - before) + " more (discalctl doubts).");
    // A parcel may bring word of what was erased elsewhere.
    keepCopies(**bench);
    return isAllTaken ? kDone : kRefused;
}

int verify(const Call& call, const Typed& typed) {
    const Output out(call.isJson);
    bool isAllWhole = true;
    for (const auto& path : typed.files) {
        const auto delivery = sync::readParcelFile(path);
        if (!delivery) {
            tell(path + ": " + textOf(delivery.error()));
            out.put({{"parcel", path}, {"whole", false}});
            isAllWhole = false;
            continue;
        }
        out.say(path + ": whole and signed, " + rangeWords(delivery->from, delivery->head.seq) +
                " of device " + delivery->device.text() + " with " +
                counted(static_cast<std::int64_t>(delivery->blobs.size()), "text or picture",
                        "texts or pictures") +
                ".");
        out.put({{"parcel", path},
                 {"whole", true},
                 {"device", delivery->device.text()},
                 {"from", delivery->from},
                 {"to", delivery->head.seq},
                 {"blobs", delivery->blobs.size()}});
    }
    return isAllWhole ? kDone : kRefused;
}

} // namespace

void addParcelVerbs(CLI::App& app, Call& call) {
    CLI::App& group = addGroup(app, "parcel", "Signed lines as a file, for where there is no network");
    const auto writing = std::make_shared<Typed>();
    CLI::App& writes = addVerb(group, call, "write", "Write a device's lines to a new parcel",
                               "parcel write /media/card/meadow.discal-parcel", On::OwnJournal,
                               [&call, writing] { return write(call, *writing); });
    writes.add_option("OUT", writing->out, "a new file")->required()->type_name("");
    writes
        .add_option("--device", writing->device, "another device whose lines are here; without it this one")
        ->type_name("DEVICE");
    writes.add_option("--from", writing->from, "the first line; without it all")
        ->check(CLI::PositiveNumber)
        ->type_name("SEQ");

    const auto reading = std::make_shared<Typed>();
    CLI::App& reads =
        addVerb(group, call, "read", "Take in parcels; one of an unknown device waits for --accept",
                "parcel read /media/card/meadow.discal-parcel --accept", On::OwnJournal,
                [&call, reading] { return read(call, *reading); });
    reads.add_option("FILE", reading->files, "parcels, in any order")->required()->type_name("");
    reads.add_flag("--accept", reading->isAccepted, "you know whose they are");

    const auto checking = std::make_shared<Typed>();
    addVerb(group, call, "verify", "Check parcels; needs no journal",
            "parcel verify /media/card/meadow.discal-parcel", On::NoJournal,
            [&call, checking] { return verify(call, *checking); })
        .add_option("FILE", checking->files, "parcels")
        ->required()
        ->type_name("");
}

} // namespace discal::cli
