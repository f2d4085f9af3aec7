#pragma once

#include <QAbstractListModel>
#include <QString>
#include <vector>

namespace discal::viewmodels {

/// A list whose rows are known by a key. A fresh reading removes and adds only what differs, so that the page stays
/// where it was scrolled to.
class KeyedListModel : public QAbstractListModel {
    Q_OBJECT

public:
    using QAbstractListModel::QAbstractListModel;
    [[nodiscard]] int rowCount(const QModelIndex& parent = {}) const override;

protected:
    /// The keys of a fresh reading, in its order. Values of both old and new keys must be at hand meanwhile.
    void takeOver(const std::vector<QString>& fresh);
    /// Further keys at the end.
    void append(const std::vector<QString>& further);
    [[nodiscard]] const std::vector<QString>& keys() const { return m_keys; }
    [[nodiscard]] const QString& keyAt(int row) const { return m_keys[static_cast<std::size_t>(row)]; }
    /// Between two states: whoever hears of a row now must not ask for more.
    [[nodiscard]] bool isChanging() const { return m_isChanging; }
    [[nodiscard]] bool has(const QModelIndex& index) const;

private:
    std::vector<QString> m_keys;
    bool m_isChanging{false};
};

} // namespace discal::viewmodels
