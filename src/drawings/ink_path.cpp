#include "drawings/ink_path.h"

#include <QStringList>

namespace discal::drawings {

namespace {

/// SVG Tiny has colour and opacity apart.
QString paint(QLatin1String what, const QColor& color) {
    if (color.alpha() == 0)
        return QStringLiteral(" %1=\"none\"").arg(what);
    return QStringLiteral(" %1=\"%2\" %1-opacity=\"%3\"").arg(what, color.name(QColor::HexRgb)).arg(color.alphaF());
}

} // namespace

QString InkPath::svg() const {
    if (m_path.isEmpty() || (m_fill.alpha() == 0 && m_line.alpha() == 0))
        return {};
    QString text = QStringLiteral("<path d=\"%1\"").arg(m_path.toHtmlEscaped()) + paint(QLatin1String("fill"), m_fill) +
                   paint(QLatin1String("stroke"), m_line) + QStringLiteral(" stroke-width=\"%1\"").arg(m_width);
    if (m_round)
        text += QLatin1String(" stroke-linecap=\"round\" stroke-linejoin=\"round\"");
    if (!m_dashes.isEmpty()) {
        QStringList lengths;
        for (const qreal length : m_dashes)
            lengths << QString::number(length);
        text += QStringLiteral(" stroke-dasharray=\"%1\"").arg(lengths.join(QLatin1Char(',')));
    }
    return text + QLatin1String("/>");
}

} // namespace discal::drawings
