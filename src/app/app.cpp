#include "app/app.h"

#include "app/qr_images.h"

#include <QDir>
#include <QFontDatabase>
#include <QGuiApplication>
#include <QQmlComponent>
#include <QSurfaceFormat>
#include <QTranslator>
#include <QtQml/qqmlextensionplugin.h>
#include <utility>

Q_IMPORT_QML_PLUGIN(DiscalPlugin)
Q_IMPORT_QML_PLUGIN(Discal_ModelsPlugin)
Q_IMPORT_QML_PLUGIN(Discal_DrawingsPlugin)
Q_IMPORT_QML_PLUGIN(Discal_MapPlugin)

namespace discal::app {

namespace {

const QString kPages = QStringLiteral("qrc:/qt/qml/Discal/");

} // namespace

std::unique_ptr<QQmlApplicationEngine> App::beginLoading() {
    auto engine = std::make_unique<QQmlApplicationEngine>();
    engine->addImportPath(QStringLiteral("qrc:/qt/qml"));
    for (const char* file : {"Main.qml", "tag/TagPage.qml", "tag/CheckStage.qml", "tag/ReadyStage.qml"})
        // Kept with the engine: what nobody holds is forgotten.
        new QQmlComponent(engine.get(), QUrl(kPages + QLatin1String(file)), QQmlComponent::Asynchronous, engine.get());
    return engine;
}

App::App(viewmodels::FieldPhone& fieldPhone, std::unique_ptr<QSettings> store,
         std::unique_ptr<QQmlApplicationEngine> engine)
    : phone(fieldPhone), settings(std::move(store)), tag(phone), held(phone), exceptions(phone, held),
      today(phone), story(phone), correct(phone),
      share(phone, viewmodels::SharePageModel::documentsFolder()), sheets(phone), sheet(phone), already(phone),
      people(phone), sites(phone), setup(phone), handing(phone), schemes(phone), session(phone), weather(phone),
      troubles(phone), boundaries(phone, viewmodels::SharePageModel::documentsFolder()), map(phone), towns(phone), camera(phone),
      drafts(phone), rest(phone), taps(phone.clock()), volumeKeys(tag, settings, taps),
      m_engine(engine ? std::move(engine) : beginLoading()) {
    QObject::connect(&rest, &viewmodels::Rest::copyTroubleChanged, &troubles,
                     [this] { troubles.setCopyTrouble(rest.copyTrouble(), rest.copyAdvice()); });
    QObject::connect(&rest, &viewmodels::Rest::rested, &troubles,
                     [this] { troubles.setWarnings(phone.journal().warnings()); });
    const auto readUnsaved = [this] { share.setUnsaved({tag.unsaved(), held.failure()->unsaved()}); };
    QObject::connect(&tag, &viewmodels::TagPageModel::failureChanged, &share, readUnsaved);
    QObject::connect(held.failure(), &viewmodels::FailureModel::changed, &share, readUnsaved);
    QObject::connect(&tag, &viewmodels::TagPageModel::statusChanged, &troubles, &viewmodels::TroublesModel::look);
    const auto readPermit = [this] { troubles.setPermitPast(setup.permitPast()); };
    QObject::connect(&setup, &viewmodels::SetupPageModel::refreshed, &troubles, readPermit);
    readPermit();
    QObject::connect(&phone, &viewmodels::FieldPhone::changed, &taps, &TapGuard::changed);
    // What could not be saved is told above the keys, which move down.
    QObject::connect(&phone, &viewmodels::FieldPhone::feedback, &taps, &TapGuard::changed);
    QObject::connect(&tag, &viewmodels::TagPageModel::refreshed, &taps, &TapGuard::changed);
    QObject::connect(m_engine.get(), &QQmlEngine::warnings, [this](const QList<QQmlError>& errors) {
        for (const QQmlError& error : errors)
            m_warnings << error.toString();
    });
    m_engine->addImageProvider(QStringLiteral("qr"), new QrImages);
    joinCamera();
}

void App::joinCamera() {
    using Camera = viewmodels::CameraPageModel;
    QObject::connect(&camera, &Camera::tagRead, [this](const viewmodels::TagReading& reading, Camera::Purpose purpose) {
        if (purpose == Camera::Already)
            already.takeReading(reading);
        else
            tag.takeReading(reading);
    });
    QObject::connect(&camera, &Camera::labelRead, &sheets, &viewmodels::SheetsModel::takeLabel);
    QObject::connect(&camera, &Camera::runRead, &handing, &viewmodels::HandRunModel::takeText);
    // Advice changes often, and moves no key.
    QObject::connect(&camera, &Camera::changed, &taps, [this, before = camera.state()]() mutable {
        if (std::exchange(before, camera.state()) != camera.state())
            taps.changed();
    });
    QObject::connect(&already, &viewmodels::AlreadyModel::changed, &tag,
                     [this] { tag.setRecaptureReading(already.reading()); });
    const auto follow = [this] { camera.setKeepsPictures(settings.arePicturesKept()); };
    QObject::connect(&settings, &viewmodels::SettingsModel::changed, &camera, follow);
    follow();
}

App::~App() {
    drafts.keep();
    // What closes now closes with the program: it is no less half done.
    if (window() != nullptr)
        QObject::disconnect(window(), nullptr, &drafts, nullptr);
}

void App::prepare() {
    QGuiApplication::setApplicationName(QStringLiteral("discal"));
    QGuiApplication::setApplicationVersion(QStringLiteral(DISCAL_VERSION));
    QGuiApplication::setDesktopFileName(QStringLiteral("discal"));
    // Drawn lines are jagged without it.
    QSurfaceFormat format = QSurfaceFormat::defaultFormat();
    format.setSamples(4);
    QSurfaceFormat::setDefaultFormat(format);
    const QDir fonts(QStringLiteral(":/fonts"));
    for (const QString& name : fonts.entryList({QStringLiteral("*.ttf")}))
        QFontDatabase::addApplicationFont(fonts.filePath(name));
    // Plurals; whatever the language of the system, as long as there is no translation to it.
    auto* english = new QTranslator(QCoreApplication::instance());
    if (english->load(QStringLiteral(":/translations/discal_en.qm")))
        QCoreApplication::installTranslator(english);
    QFont font(QStringLiteral("Atkinson Hyperlegible Next"));
    QGuiApplication::setFont(font);
}

bool App::load() {
    m_engine->setInitialProperties({{QStringLiteral("tag"), QVariant::fromValue(&tag)},
                                   {QStringLiteral("held"), QVariant::fromValue(&held)},
                                   {QStringLiteral("exceptions"), QVariant::fromValue(&exceptions)},
                                   {QStringLiteral("today"), QVariant::fromValue(&today)},
                                   {QStringLiteral("story"), QVariant::fromValue(&story)},
                                   {QStringLiteral("correct"), QVariant::fromValue(&correct)},
                                   {QStringLiteral("share"), QVariant::fromValue(&share)},
                                   {QStringLiteral("settings"), QVariant::fromValue(&settings)},
                                   {QStringLiteral("sheets"), QVariant::fromValue(&sheets)},
                                   {QStringLiteral("sheet"), QVariant::fromValue(&sheet)},
                                   {QStringLiteral("already"), QVariant::fromValue(&already)},
                                   {QStringLiteral("people"), QVariant::fromValue(&people)},
                                   {QStringLiteral("sites"), QVariant::fromValue(&sites)},
                                   {QStringLiteral("setup"), QVariant::fromValue(&setup)},
                                   {QStringLiteral("handing"), QVariant::fromValue(&handing)},
                                   {QStringLiteral("schemes"), QVariant::fromValue(&schemes)},
                                   {QStringLiteral("session"), QVariant::fromValue(&session)},
                                   {QStringLiteral("weather"), QVariant::fromValue(&weather)},
                                   {QStringLiteral("troubles"), QVariant::fromValue(&troubles)},
                                   {QStringLiteral("boundaries"), QVariant::fromValue(&boundaries)},
                                   {QStringLiteral("map"), QVariant::fromValue(&map)},
                                   {QStringLiteral("towns"), QVariant::fromValue(&towns)},
                                   {QStringLiteral("camera"), QVariant::fromValue(&camera)}});
    m_engine->load(QUrl(kPages + QLatin1String("Main.qml")));
    if (window() == nullptr)
        return false;
    drafts.followWindow(*window());
    // A page begins empty when it opens, so what was typed on it comes after the window.
    drafts.follow(QStringLiteral("sheets"), sheets,
                  {QStringLiteral("first"), QStringLiteral("countText"), QStringLiteral("perRow")});
    drafts.follow(QStringLiteral("people"), people, {QStringLiteral("initials")});
    drafts.follow(QStringLiteral("sites"), sites,
                  {QStringLiteral("name"), QStringLiteral("way"), QStringLiteral("latitude"),
                   QStringLiteral("longitude"), QStringLiteral("within"), QStringLiteral("radius"),
                   QStringLiteral("leave"), QStringLiteral("placed")});
    drafts.follow(QStringLiteral("towns"), towns, {QStringLiteral("typed")});
    drafts.follow(QStringLiteral("setup"), setup,
                  {QStringLiteral("name"), QStringLiteral("permitNumber"), QStringLiteral("lastDay"),
                   QStringLiteral("newDeviceName")});
    drafts.follow(QStringLiteral("session"), session,
                  {QStringLiteral("minutes"), QStringLiteral("people"), QStringLiteral("note")});
    drafts.follow(QStringLiteral("weather"), weather,
                  {QStringLiteral("air"), QStringLiteral("wind"), QStringLiteral("cloud"), QStringLiteral("rain")});
    drafts.follow(QStringLiteral("already"), already, {QStringLiteral("letters"), QStringLiteral("digits")});
    drafts.follow(QStringLiteral("sheet"), sheet, {QStringLiteral("lastDigits")});
    drafts.follow(QStringLiteral("correct"), correct,
                  {QStringLiteral("sex"), QStringLiteral("origin"), QStringLiteral("code"),
                   QStringLiteral("forewing"), QStringLiteral("time"), QStringLiteral("note"), QStringLiteral("why")});
    drafts.follow(QStringLiteral("boundaries"), boundaries, {QStringLiteral("file")});
    taps.follow(*window());
    volumeKeys.follow(*window());
    window()->installEventFilter(&rest);
    QObject::connect(window(), &QQuickWindow::frameSwapped, &rest, &viewmodels::Rest::begin,
                     static_cast<Qt::ConnectionType>(Qt::QueuedConnection | Qt::SingleShotConnection));
    QObject::connect(window(), &QQuickWindow::frameSwapped, &boundaries, &viewmodels::BoundariesModel::load,
                     static_cast<Qt::ConnectionType>(Qt::QueuedConnection | Qt::SingleShotConnection));
    QObject::connect(qGuiApp, &QGuiApplication::applicationStateChanged, &rest,
                     &viewmodels::Rest::applicationStateChanged);
    QObject::connect(qGuiApp, &QGuiApplication::applicationStateChanged, &camera,
                     [this](Qt::ApplicationState state) { camera.setAwake(state == Qt::ApplicationActive); });
    return true;
}

QObject* App::singleton(const char* name) {
    QQmlComponent component(m_engine.get());
    component.setData(
        QByteArray("import QtQml\nimport Discal\nQtObject { readonly property QtObject it: ") + name + " }", QUrl());
    const std::unique_ptr<QObject> holder(component.create());
    return holder ? holder->property("it").value<QObject*>() : nullptr;
}

QQuickWindow* App::window() const {
    const auto roots = m_engine->rootObjects();
    return roots.isEmpty() ? nullptr : qobject_cast<QQuickWindow*>(roots.constFirst());
}

} // namespace discal::app
