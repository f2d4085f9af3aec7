#include "viewmodels/keyed_list_model.h"

#include <QSet>

namespace discal::viewmodels {

int KeyedListModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_keys.size());
}

bool KeyedListModel::has(const QModelIndex& index) const {
    return index.isValid() && index.row() < static_cast<int>(m_keys.size());
}

void KeyedListModel::takeOver(const std::vector<QString>& fresh) {
    m_isChanging = true;
    const QSet<QString> staying(fresh.begin(), fresh.end());
    for (int end = static_cast<int>(m_keys.size()); end > 0;) {
        int begin = end;
        while (begin > 0 && !staying.contains(keyAt(begin - 1)))
            --begin;
        if (begin < end) {
            beginRemoveRows({}, begin, end - 1);
            m_keys.erase(m_keys.begin() + begin, m_keys.begin() + end);
            endRemoveRows();
        }
        end = begin - 1;
    }
    const QSet<QString> known(m_keys.begin(), m_keys.end());
    std::vector<QString> stayed;
    for (const QString& key : fresh)
        if (known.contains(key))
            stayed.push_back(key);
    if (stayed != m_keys) {
        beginResetModel();
        m_keys = fresh;
        endResetModel();
    }
    for (std::size_t row = 0; row < fresh.size();) {
        std::size_t end = row;
        while (end < fresh.size() && !known.contains(fresh[end]) && m_keys.size() != fresh.size())
            ++end;
        if (end == row) {
            ++row;
            continue;
        }
        beginInsertRows({}, static_cast<int>(row), static_cast<int>(end) - 1);
        m_keys.insert(m_keys.begin() + static_cast<std::ptrdiff_t>(row),
                      fresh.begin() + static_cast<std::ptrdiff_t>(row), fresh.begin() + static_cast<std::ptrdiff_t>(end));
        endInsertRows();
        row = end;
    }
    m_isChanging = false;
    if (!m_keys.empty())
        emit dataChanged(index(0), index(static_cast<int>(m_keys.size()) - 1));
}

void KeyedListModel::append(const std::vector<QString>& further) {
    if (further.empty())
        return;
    m_isChanging = true;
    const int from = static_cast<int>(m_keys.size());
    beginInsertRows({}, from, from + static_cast<int>(further.size()) - 1);
    m_keys.insert(m_keys.end(), further.begin(), further.end());
    endInsertRows();
    m_isChanging = false;
}

} // namespace discal::viewmodels
