#include "print/sheet_label.h"

#include "reading/qr_code.h"
#include "reading/sheet_label.h"

#include <QBuffer>
#include <QFontDatabase>
#include <QImage>
#include <QPainter>
#include <QPdfWriter>
#include <cmath>
#include <fstream>

namespace discal::print {

namespace {

// Millimetres. 62 x 29 is the commonest address label on a roll; our choice.
constexpr double kWide = 62;
constexpr double kHigh = 29;
constexpr double kMargin = 2;
constexpr double kPageMargin = 15;
constexpr double kLeastModule = 0.5;
constexpr int kQuietZone = 4;
constexpr double kMillimetresPerInch = 25.4;

/// Ink on paper, as the screens have it (look.md), but blacker: a label printer knows no greys.
const QColor kInk(Qt::black);

enum class Face { Code, Text, Strong };

QString familyOf(const char* file) {
    const int id = QFontDatabase::addApplicationFont(QStringLiteral(":/print/") + QLatin1String(file));
    const QStringList families = id < 0 ? QStringList() : QFontDatabase::applicationFontFamilies(id);
    return families.isEmpty() ? QString() : families.front();
}

QFont fontOf(Face face, double millimetres, double dotsPerMillimetre) {
    static const QString code = familyOf("AtkinsonHyperlegibleMono-ExtraBold.ttf");
    static const QString text = familyOf("AtkinsonHyperlegibleNext-Regular.ttf");
    static const QString strong = familyOf("AtkinsonHyperlegibleNext-SemiBold.ttf");
    QFont font(face == Face::Code ? code : face == Face::Strong ? strong : text);
    font.setWeight(face == Face::Code ? QFont::ExtraBold : face == Face::Strong ? QFont::DemiBold : QFont::Normal);
    font.setHintingPreference(QFont::PreferNoHinting);
    font.setPixelSize(std::max(1, static_cast<int>(std::lround(millimetres * dotsPerMillimetre))));
    return font;
}

/// Draws in millimetres on whatever has so many dots in one.
class Sheet {
public:
    Sheet(QPainter& painter, double dotsPerMillimetre) : m_painter(painter), m_dots(dotsPerMillimetre) {
        m_painter.setPen(kInk);
    }

    /// One line with its baseline at y, as large as asked for or as there is room; elided when that would be under
    /// two thirds.
    void line(const QString& text, Face face, double size, double x, double y, double width) {
        const double room = width * m_dots;
        const double advance = QFontMetricsF(fontOf(face, size, m_dots)).horizontalAdvance(text);
        const QFont font = fontOf(face, size * std::clamp(room / std::max(advance, 1.0), 0.66, 1.0), m_dots);
        m_painter.setFont(font);
        m_painter.drawText(QPointF(x * m_dots, y * m_dots), QFontMetricsF(font).elidedText(text, Qt::ElideRight, room));
    }
    /// The code with its quiet zone, in a square of at most `side`; modules of whole dots, sharp-edged. False when they
    /// would be too small.
    [[nodiscard]] bool code(const reading::QrCode& qr, double x, double y, double side) {
        const int across = qr.side + 2 * kQuietZone;
        const int module = static_cast<int>(std::floor(side * m_dots / across));
        if (module < kLeastModule * m_dots)
            return false;
        const int left = static_cast<int>(std::lround(x * m_dots + (side * m_dots - module * across) / 2));
        const int top = static_cast<int>(std::lround(y * m_dots + (side * m_dots - module * across) / 2));
        m_painter.setRenderHint(QPainter::Antialiasing, false);
        for (int row = 0; row < qr.side; ++row)
            for (int column = 0, end = 0; column < qr.side; column = end) {
                // Dark modules of a row at once: no hairlines between them.
                for (end = column + 1; end < qr.side && qr.isDark(end, row) == qr.isDark(column, row);)
                    ++end;
                if (qr.isDark(column, row))
                    m_painter.fillRect(left + (kQuietZone + column) * module, top + (kQuietZone + row) * module,
                                       (end - column) * module, module, kInk);
            }
        m_painter.setRenderHint(QPainter::Antialiasing, true);
        return true;
    }
    void frame() {
        m_painter.setPen(QPen(kInk, 0.1 * m_dots, Qt::DashLine));
        m_painter.drawRect(QRectF(0, 0, kWide * m_dots, kHigh * m_dots));
        m_painter.setPen(kInk);
    }

private:
    QPainter& m_painter;
    double m_dots;
};

QString howMany(const tag::SheetLabel& label) {
    QString out = QString::number(label.count) + (label.count == 1 ? QStringLiteral(" tag") : QStringLiteral(" tags"));
    if (label.perRow > 0)
        out += QStringLiteral(", %1 in a row").arg(label.perRow);
    return out;
}

Result<void> draw(QPainter& painter, const SheetLabelPrint& print, double dotsPerMillimetre, Paper paper) {
    const auto run = print.label.run();
    if (!run)
        return fail(run.error());
    const auto qr = reading::makeQrCode(tag::labelText(print.label), reading::Spare::M);
    if (!qr)
        return fail(qr.error());
    if (paper != Paper::Label)
        painter.translate(kPageMargin * dotsPerMillimetre, kPageMargin * dotsPerMillimetre);
    painter.setRenderHint(QPainter::Antialiasing);
    Sheet sheet(painter, dotsPerMillimetre);
    if (paper != Paper::Label)
        sheet.frame();
    if (!sheet.code(*qr, 0, 0, kHigh))
        return fail(Code::OutOfRange, "the label's text");
    const double x = kHigh + kMargin;
    const double width = kWide - x - kMargin;
    sheet.line(QString::fromStdString(run->at(0).text()), Face::Code, 6.2, x, 8.2, width);
    if (print.label.count > 1)
        sheet.line(QStringLiteral("to ") + QString::fromStdString(run->last().text()), Face::Code, 3.8, x, 13.2, width);
    sheet.line(howMany(print.label), Face::Strong, 3.2, x, 18.2, width);
    const QString never = QString::fromStdString(print.label.scheme.excludedLetters());
    if (!never.isEmpty())
        sheet.line(QStringLiteral("without letters ") + never, Face::Text, 2.6, x, 21.8, width);
    sheet.line(QString::fromStdString(print.station), Face::Text, 2.6, x, 26, width);
    return {};
}

QSizeF sizeOf(Paper paper) {
    switch (paper) {
    case Paper::A4:
        return {210, 297};
    case Paper::Letter:
        return {215.9, 279.4};
    case Paper::Label:
        break;
    }
    return {kWide, kHigh};
}

/// Our own reader finds the same in it.
Result<void> readBack(const SheetLabelPrint& print, const QImage& image) {
    const QImage rgb = image.convertToFormat(QImage::Format_RGB888);
    services::Frame frame{rgb.width(), rgb.height(), {}};
    for (int y = 0; y < rgb.height(); ++y)
        frame.rgb.insert(frame.rgb.end(), rgb.constScanLine(y), rgb.constScanLine(y) + 3 * rgb.width());
    const auto read = reading::sheetLabelIn(frame);
    if (!read || *read != print.label)
        return fail(Code::Corrupt, "a label that our own reader doesn't read");
    return {};
}

Result<void> write(const std::filesystem::path& file, const QByteArray& bytes) {
    std::ofstream out(file, std::ios::binary | std::ios::trunc);
    out.write(bytes.constData(), bytes.size());
    out.close();
    return out ? Result<void>{} : fail(Code::Io, file.string());
}

/// The label as a picture that was read back; nothing is there yet by the file's name.
Result<QImage> checked(const SheetLabelPrint& print, const std::filesystem::path& file, Paper paper) {
    std::error_code ec;
    if (std::filesystem::exists(file, ec))
        return fail(Code::Exists, file.string());
    auto image = labelImage(print, paper);
    if (!image)
        return image;
    if (auto read = readBack(print, *image); !read)
        return fail(read.error());
    return image;
}

} // namespace

Result<QImage> labelImage(const SheetLabelPrint& print, Paper paper, int dotsPerInch) {
    const double dots = dotsPerInch / kMillimetresPerInch;
    QImage image((sizeOf(paper) * dots).toSize(), QImage::Format_RGB32);
    if (image.isNull())
        return fail(Code::OutOfMemory);
    image.setDotsPerMeterX(static_cast<int>(std::lround(1000 * dots)));
    image.setDotsPerMeterY(static_cast<int>(std::lround(1000 * dots)));
    image.fill(Qt::white);
    QPainter painter(&image);
    if (auto drawn = draw(painter, print, dots, paper); !drawn)
        return fail(drawn.error());
    painter.end();
    return image;
}

Result<void> writeLabelPng(const SheetLabelPrint& print, const std::filesystem::path& file, Paper paper) {
    const auto image = checked(print, file, paper);
    if (!image)
        return fail(image.error());
    QBuffer buffer;
    if (!buffer.open(QIODevice::WriteOnly) || !image->save(&buffer, "PNG"))
        return fail(Code::OutOfMemory);
    return write(file, buffer.data());
}

Result<void> writeLabelPdf(const SheetLabelPrint& print, const std::filesystem::path& file, Paper paper) {
    if (const auto image = checked(print, file, paper); !image)
        return fail(image.error());
    constexpr int kPdfDotsPerInch = 1200;
    QBuffer buffer;
    buffer.open(QIODevice::WriteOnly);
    QPdfWriter writer(&buffer);
    writer.setResolution(kPdfDotsPerInch);
    writer.setPageSize(QPageSize(sizeOf(paper), QPageSize::Millimeter, {}, QPageSize::ExactMatch));
    writer.setPageMargins({});
    writer.setCreator(QStringLiteral("discal"));
    writer.setTitle(QString::fromStdString(tag::labelText(print.label)));
    QPainter painter;
    if (!painter.begin(&writer))
        return fail(Code::Io, file.string());
    if (auto drawn = draw(painter, print, kPdfDotsPerInch / kMillimetresPerInch, paper); !drawn)
        return drawn;
    if (!painter.end())
        return fail(Code::Io, file.string());
    return write(file, buffer.data());
}

} // namespace discal::print
