#pragma once

#include "services/sample/replay_look.h"
#include "services/sample/replay_phone.h"
#include "services/sample/script.h"

#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace discal::services::sample {

/// Does the acts of a script, one after the other, each through the service that the app would call.
class ReplayActs {
public:
    using Phones = std::vector<std::unique_ptr<ReplayPhone>>;
    using Exchange = std::function<Result<void>(storage::Journal& from, storage::Journal& to)>;

    /// `phones` and `look` are borrowed.
    ReplayActs(Phones& phones, ReplayLook& look, Exchange exchange)
        : m_phones(phones), m_look(look), m_exchange(std::move(exchange)) {}

    /// The service's refusal, or BadInput when the act is not refused though it should be, or what it expects
    /// does not hold.
    [[nodiscard]] Result<void> perform(const Act& act);

private:
    /// What an act did.
    struct Done {
        Saved saved{};
        std::optional<journal::Uuid> butterfly{};
        std::optional<Sight> sight{};
    };

    [[nodiscard]] ReplayPhone& phone(std::string_view name);
    [[nodiscard]] Result<Done> run(const Act& act, ReplayPhone& phone);
    [[nodiscard]] Result<Done> runStation(const Act& act, ReplayPhone& phone);
    [[nodiscard]] Result<Done> runStock(const Act& act, ReplayPhone& phone);
    [[nodiscard]] Result<Done> runButterfly(const Act& act, ReplayPhone& phone);
    [[nodiscard]] Result<Done> runAmending(const Act& act, ReplayPhone& phone);
    [[nodiscard]] Result<Done> runPhone(const Act& act, ReplayPhone& phone);

    [[nodiscard]] Result<Done> note(const Act& act, ReplayPhone& phone);
    [[nodiscard]] Result<Done> compared(const Act& act, ReplayPhone& phone);
    [[nodiscard]] Result<Done> recaptured(const Act& act, ReplayPhone& phone);
    [[nodiscard]] Result<Done> correct(const Act& act, ReplayPhone& phone);

    /// A code as written, or the id behind "@label".
    [[nodiscard]] Result<std::string> butterflyNamed(const std::string& ref);
    [[nodiscard]] Result<std::optional<std::string>> which(const Act& act);
    [[nodiscard]] Result<void> check(const Act& act, ReplayPhone& phone, const Done& done);

    Phones& m_phones;
    ReplayLook& m_look;
    Exchange m_exchange;
    std::map<std::string, Done, std::less<>> m_labels;
};

} // namespace discal::services::sample
