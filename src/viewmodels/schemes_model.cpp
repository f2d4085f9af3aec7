#include "viewmodels/schemes_model.h"

#include <algorithm>

namespace discal::viewmodels {

SchemesModel::SchemesModel(FieldPhone& phone, QObject* parent) : QAbstractListModel(parent), m_phone(phone) {}

int SchemesModel::rowCount(const QModelIndex& parent) const {
    return parent.isValid() ? 0 : static_cast<int>(m_rows.size());
}

QHash<int, QByteArray> SchemesModel::roleNames() const {
    return {{ExampleRole, "example"}, {ShapeRole, "shape"}, {PaperRole, "paper"}};
}

QVariant SchemesModel::data(const QModelIndex& index, int role) const {
    if (!checkIndex(index, CheckIndexOption::IndexIsValid))
        return {};
    const Row& row = m_rows[static_cast<std::size_t>(index.row())];
    switch (role) {
    case ExampleRole:
        return row.example;
    case ShapeRole:
        return shapeText(row.scheme);
    case PaperRole:
        return paperText(row);
    default:
        return {};
    }
}

void SchemesModel::look() {
    std::vector<Row> rows;
    if (const auto sheets = m_phone.projections().sheets())
        for (const tag::Sheet& sheet : *sheets) {
            if (!sheet.run)
                continue;
            auto row = std::find_if(rows.begin(), rows.end(),
                                    [&](const Row& r) { return r.scheme == sheet.run->scheme; });
            if (row == rows.end())
                row = rows.insert(row, Row{sheet.run->scheme, QString::fromStdString(sheet.run->at(0).text()), 0, {}});
            ++row->sheets;
            const auto at = std::lower_bound(row->perRow.begin(), row->perRow.end(), sheet.perRow);
            if (sheet.perRow > 0 && (at == row->perRow.end() || *at != sheet.perRow))
                row->perRow.insert(at, sheet.perRow);
        }
    beginResetModel();
    m_rows = std::move(rows);
    endResetModel();
    emit refreshed();
}

QString SchemesModel::shapeText(const tag::Scheme& scheme) {
    QString text;
    if (scheme.letterCount() > 0) {
        text = tr("%n letter(s)", "of a code", static_cast<int>(scheme.letterCount()));
        QStringList excluded;
        for (const char letter : scheme.excludedLetters())
            excluded << QString(QLatin1Char(letter));
        if (!excluded.isEmpty())
            text += tr(", never %1").arg(excluded.join(tr(" or ")));
        text += tr("; ");
    }
    return text + tr("%n digit(s)", "of a code", static_cast<int>(scheme.digitCount()));
}

QString SchemesModel::paperText(const Row& row) {
    const QString sheets = tr("%n sheet(s)", "", row.sheets);
    if (row.perRow.empty())
        return sheets;
    QStringList perRow;
    for (const int tags : row.perRow)
        perRow << QString::number(tags);
    return tr("%1, %2 tags in a printed row").arg(sheets, perRow.join(tr(" or ")));
}

QString SchemesModel::summary() const {
    return m_rows.empty()       ? QString()
           : m_rows.size() == 1 ? m_rows.front().example
                                : tr("%n way(s)", "to build codes", static_cast<int>(m_rows.size()));
}

} // namespace discal::viewmodels
