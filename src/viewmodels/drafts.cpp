#include "viewmodels/drafts.h"

#include <QJSValue>
#include <QJsonDocument>
#include <QJsonObject>
#include <QMetaMethod>
#include <QMetaProperty>

namespace discal::viewmodels {

namespace {

constexpr const char* kField = "values";
constexpr auto kStale = std::chrono::hours(12);

} // namespace

Drafts::Drafts(FieldPhone& phone, QObject* parent) : QObject(parent), m_phone(phone) {
    m_soon.setSingleShot(true);
    m_soon.setInterval(0);
    QObject::connect(&m_soon, &QTimer::timeout, this, &Drafts::keep);
}

void Drafts::follow(const QString& page, QObject& thing, const QStringList& properties) {
    giveBack(page, thing, properties);
    Followed& followed = m_followed[page];
    followed = {&thing, properties, {}};
    followed.kept = read(followed);
    const QMetaMethod start = m_soon.metaObject()->method(m_soon.metaObject()->indexOfSlot("start()"));
    for (const QString& name : properties) {
        const QMetaObject* type = thing.metaObject();
        const QMetaProperty property = type->property(type->indexOfProperty(name.toUtf8().constData()));
        QObject::connect(&thing, property.notifySignal(), &m_soon, start, Qt::UniqueConnection);
    }
}

void Drafts::followWindow(QObject& window) {
    m_window = &window;
    // What a page is opened with comes before it.
    follow(QStringLiteral("window"), window,
           {QStringLiteral("page"), QStringLiteral("trail"), QStringLiteral("openedWith"), QStringLiteral("opened")});
    const QMetaObject* type = window.metaObject();
    const QMetaProperty opened = type->property(type->indexOfProperty("openedPage"));
    QObject::connect(&window, opened.notifySignal(), this, metaObject()->method(metaObject()->indexOfSlot("turn()")));
    turn();
}

void Drafts::turn() {
    forget(QStringLiteral("page"));
    auto* page = m_window ? m_window->property("openedPage").value<QObject*>() : nullptr;
    if (page == nullptr)
        return;
    const QStringList drafts = page->property("drafts").toStringList();
    if (!drafts.isEmpty())
        follow(QStringLiteral("page"), *page, drafts);
}

void Drafts::forget(const QString& page) {
    if (m_followed.erase(page) > 0)
        write(page, {});
}

void Drafts::keep() {
    for (auto& [page, followed] : m_followed) {
        const QByteArray now = followed.thing ? read(followed) : followed.kept;
        if (now == followed.kept)
            continue;
        followed.kept = now;
        write(page, now);
    }
}

QByteArray Drafts::read(const Followed& followed) {
    QJsonObject values;
    for (const QString& name : followed.properties) {
        QVariant value = followed.thing->property(name.toUtf8().constData());
        if (value.metaType() == QMetaType::fromType<QJSValue>())
            value = value.value<QJSValue>().toVariant();
        values[name] = QJsonValue::fromVariant(value);
    }
    return QJsonDocument(values).toJson(QJsonDocument::Compact);
}

void Drafts::giveBack(const QString& page, QObject& thing, const QStringList& properties) {
    const auto kept = m_phone.journal().file().draft(page.toStdString(), kField);
    if (!kept || !*kept)
        return;
    const QJsonObject draft = QJsonDocument::fromJson(QByteArray::fromStdString(**kept)).object();
    const auto at = std::chrono::milliseconds(draft[QLatin1String("at")].toInteger());
    const auto age = m_phone.clock().now().wall.time_since_epoch() - at;
    if (age < std::chrono::hours(0) || age > kStale)
        return;
    const QJsonObject values = draft[QLatin1String(kField)].toObject();
    for (const QString& name : properties)
        if (values.contains(name))
            thing.setProperty(name.toUtf8().constData(), values[name].toVariant());
}

void Drafts::write(const QString& page, const QByteArray& values) {
    QJsonObject draft;
    draft[QLatin1String("at")] = qint64{m_phone.clock().now().wall.time_since_epoch().count()};
    draft[QLatin1String(kField)] = QJsonDocument::fromJson(values).object();
    (void)m_phone.journal().file().setDraft(page.toStdString(), kField,
                                            QJsonDocument(draft).toJson(QJsonDocument::Compact).toStdString());
}

} // namespace discal::viewmodels
