#pragma once

#include "core/tag/label.h"
#include "services/tag_look.h"
#include "viewmodels/field_phone.h"
#include "viewmodels/tag_reading.h"

#include <QImage>
#include <QtQml/qqmlregistration.h>
#include <memory>
#include <optional>

namespace discal::viewmodels {

/// The view through the camera: it opens for one purpose, says what hinders a reading, and ends with a verdict, which goes
/// to whoever asked. Frames are taken and read on other threads; here only their newest small picture arrives.
class CameraPageModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    Q_PROPERTY(State state READ state NOTIFY changed)
    Q_PROPERTY(Purpose purpose READ purpose NOTIFY changed)
    Q_PROPERTY(QString title READ title NOTIFY changed)
    /// What to do now: "Come closer." Where there is no view, why, and what is left to do.
    Q_PROPERTY(QString advice READ advice NOTIFY changed)
    /// The newest frame, small
    Q_PROPERTY(QImage picture READ picture NOTIFY pictureChanged)
    Q_PROPERTY(bool hasTorch READ hasTorch NOTIFY changed)
    Q_PROPERTY(bool isTorchOn READ isTorchOn NOTIFY changed)

public:
    enum State {
        Closed,
        Opening,    ///< the first frame is still to come
        Aiming,     ///< frames come, no verdict yet
        Asleep,     ///< the app is not in front: the camera rests until it is
        NoCamera,
        NotAllowed,
        NoReader,   ///< what reads tags is missing or can't be started
        Broken,     ///< the camera doesn't start, or stopped
    };
    Q_ENUM(State)
    enum Purpose {
        NextTag,  ///< the tag that goes on next
        Already,  ///< a tag that a butterfly came with
        Label,    ///< what a sheet's label says, or its first and last tag
        Run,      ///< a run of tags that another phone shows
    };
    Q_ENUM(Purpose)

    explicit CameraPageModel(FieldPhone& phone, QObject* parent = nullptr);
    ~CameraPageModel() override;

    /// What it sees and reads with; both stay for as long as this does. Without them there is no camera.
    void setEyes(services::FrameSource& frames, services::TagLook::MakeReader makeReader);
    /// Pictures of tags go into the journal with their lines.
    void setKeepsPictures(bool keeps);
    /// Whether the app is in front and the phone awake: else the camera stops, and the reader goes.
    void setAwake(bool isAwake);

    [[nodiscard]] State state() const { return m_state; }
    [[nodiscard]] Purpose purpose() const { return m_purpose; }
    [[nodiscard]] QString title() const;
    [[nodiscard]] QString advice() const;
    [[nodiscard]] QImage picture() const { return m_picture; }
    [[nodiscard]] bool hasTorch() const { return m_hasTorch; }
    [[nodiscard]] bool isTorchOn() const { return m_isTorchOn; }

    /// next, already, label, run. What was open before ends.
    Q_INVOKABLE void open(const QString& purpose);
    Q_INVOKABLE void close();
    Q_INVOKABLE void turnTorch();
    /// In fractions of the view from its left and top.
    Q_INVOKABLE void focusOn(double x, double y);

signals:
    void changed();
    void pictureChanged();
    /// The view has done its work: its page closes, and then one of these says what was read.
    void finished();
    void tagRead(const discal::viewmodels::TagReading& reading, discal::viewmodels::CameraPageModel::Purpose purpose);
    void labelRead(const discal::tag::SheetLabel& label);
    void runRead(const QString& text);

private:
    struct Inbox;

    void collect();
    void begin();
    void end(State state);
    void take(const services::Reading& reading, const TagReading& tag);
    /// True when one of them is what was looked for.
    bool takeBarcodes(const std::vector<services::Barcode>& barcodes);
    void setAdvice(const QString& advice);
    [[nodiscard]] services::Wanted wanted();
    [[nodiscard]] static QString adviceOn(services::Refusal why);
    [[nodiscard]] QString firstAdvice() const;

    FieldPhone& m_phone;
    services::FrameSource* m_frames{nullptr};
    State m_state{Closed};
    Purpose m_purpose{NextTag};
    QString m_advice;
    std::optional<services::Refusal> m_hindrance;  ///< of the reading before: what comes twice is said
    QImage m_picture;
    bool m_hasTorch{false};
    bool m_isTorchOn{false};
    bool m_isAwake{true};
    std::shared_ptr<Inbox> m_inbox;
    std::unique_ptr<services::TagLook> m_look;
};

} // namespace discal::viewmodels
