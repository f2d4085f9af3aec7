#pragma once

#include "core/result.h"
#include "storage/journal.h"

#include <cstdint>

/// Deliveries taken from a journal: what a parcel or a request to the hub carries.
namespace discal::sync {

/// How far somebody holds a device's chain. Two sides that compare these know from where to deliver.
struct HeadOf {
    journal::DeviceId device;
    std::int64_t seq{0};
    bool operator==(const HeadOf&) const = default;
};

enum class Blobs { With, Without };

/// The lines of a chain from seq `from` to its signed head, ready for Journal::receive elsewhere.
///
/// Our own chain is checked whole and signed first, so the journal must be open for writing (else ReadOnly);
/// another device's goes as far as the signature that we hold. The lines are hashed anew on the way out. With
/// blobs: those that these lines cite ({"blob": SHA-256 in hex}, wherever it stands), as far as they are here
/// and not erased.
///
/// OutOfRange ("from": below 1; "count", "unpacked": more than one parcel holds, see parcel.h), NotFound
/// (detail: a device whose chain is not here), NothingToDo (number: the signed head's seq; nothing signed
/// from `from` on), Corrupt or BrokenChain (the file is damaged: nothing leaves), and the errors of reading
/// the file.
[[nodiscard]] Result<storage::Delivery> deliveryOf(storage::Journal& journal, const journal::DeviceId& device,
                                                   std::int64_t from, Blobs blobs);

} // namespace discal::sync
