#pragma once

#include "viewmodels/field_phone.h"

#include <QStringList>
#include <QtQml/qqmlregistration.h>
#include <optional>

namespace discal::viewmodels {

/// Handing a run of tags to another phone, and taking one. The giver's line is signed and travels as the last lines of
/// its chain: as many as one QR code holds. A phone that lacks earlier ones needs a parcel file first; with the paper
/// in hand it may also simply say so.
class HandRunModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    QML_UNCREATABLE("made by main")

    // Giving
    /// Runs of free tags here: "RKD 016-025"
    Q_PROPERTY(QStringList runs READ runs NOTIFY drafted)
    Q_PROPERTY(int run READ run WRITE setRun NOTIFY drafted)
    /// How many, from the end of the run; 0 is all of it
    Q_PROPERTY(int count READ count WRITE setCount NOTIFY drafted)
    /// Other phones that this file knows of
    Q_PROPERTY(QStringList devices READ devices NOTIFY drafted)
    Q_PROPERTY(int device READ device WRITE setDevice NOTIFY drafted)
    /// Or the code that the other phone shows
    Q_PROPERTY(QString deviceCode READ deviceCode WRITE setDeviceCode NOTIFY drafted)
    /// "RKD 021-025, 5 tags"
    Q_PROPERTY(QString understood READ understood NOTIFY drafted)
    Q_PROPERTY(QString advice READ advice NOTIFY drafted)
    Q_PROPERTY(bool canHand READ canHand NOTIFY drafted)
    /// After handing: what the other phone reads, and a picture of it; empty when too much for one code
    Q_PROPERTY(QString handed READ handed NOTIFY shown)
    Q_PROPERTY(QString payload READ payload NOTIFY shown)
    Q_PROPERTY(QString picture READ picture NOTIFY shown)
    Q_PROPERTY(QString carries READ carries NOTIFY shown)

    // Taking
    Q_PROPERTY(QString pasted READ pasted WRITE setPasted NOTIFY takingDrafted)
    Q_PROPERTY(QString first READ first WRITE setFirst NOTIFY takingDrafted)
    Q_PROPERTY(QString countText READ countText WRITE setCountText NOTIFY takingDrafted)
    Q_PROPERTY(QString inHand READ inHand NOTIFY takingDrafted)
    Q_PROPERTY(bool canTake READ canTake NOTIFY takingDrafted)
    /// What came of it, in a sentence
    Q_PROPERTY(QString taken READ taken NOTIFY shown)

    Q_PROPERTY(QString failure READ failure NOTIFY failureChanged)

public:
    explicit HandRunModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] QStringList runs() const { return m_runNames; }
    [[nodiscard]] int run() const { return m_run; }
    [[nodiscard]] int count() const { return m_count; }
    [[nodiscard]] QStringList devices() const { return m_deviceNames; }
    [[nodiscard]] int device() const { return m_device; }
    [[nodiscard]] QString deviceCode() const { return m_deviceCode; }
    [[nodiscard]] QString understood() const;
    [[nodiscard]] QString advice() const;
    [[nodiscard]] bool canHand() const { return chosenRun() && chosenDevice(); }
    [[nodiscard]] QString handed() const { return m_handed; }
    [[nodiscard]] QString payload() const { return m_payload; }
    [[nodiscard]] QString picture() const;
    [[nodiscard]] QString carries() const { return m_carries; }
    [[nodiscard]] QString pasted() const { return m_pasted; }
    [[nodiscard]] QString first() const { return m_first; }
    [[nodiscard]] QString countText() const { return m_countText; }
    [[nodiscard]] QString inHand() const;
    [[nodiscard]] bool canTake() const { return !m_pasted.trimmed().isEmpty() || typedRun(); }
    [[nodiscard]] QString taken() const { return m_taken; }
    [[nodiscard]] QString failure() const { return m_failure; }
    void setRun(int run);
    void setCount(int count);
    void setDevice(int device);
    void setDeviceCode(const QString& code);
    void setPasted(const QString& text);
    void setFirst(const QString& first);
    void setCountText(const QString& count);

    /// Looks up runs and phones anew: a page opens.
    Q_INVOKABLE void begin();
    /// Hands the run over: this phone stops offering it in the same moment.
    Q_INVOKABLE bool hand();
    /// To send it by whatever there is.
    Q_INVOKABLE void copyPayload() const;
    /// What was pasted is read; or, without that, the typed run is said to be in our hand.
    Q_INVOKABLE bool take();
    Q_INVOKABLE void dismissFailure();

signals:
    void drafted();
    void shown();
    void takingDrafted();
    void failureChanged();

private:
    struct Other {
        journal::DeviceId id;
        QString name;
    };
    [[nodiscard]] std::optional<tag::Run> chosenRun() const;
    [[nodiscard]] std::optional<journal::DeviceId> chosenDevice() const;
    [[nodiscard]] std::optional<tag::Run> typedRun() const;
    [[nodiscard]] tag::RunSet heldHere();
    void makePayload();
    bool failed(const QString& sentence);

    FieldPhone& m_phone;
    std::vector<tag::Run> m_runs;
    QStringList m_runNames;
    int m_run{-1};
    int m_count{-1};
    std::vector<Other> m_others;
    QStringList m_deviceNames;
    int m_device{-1};
    QString m_deviceCode;
    QString m_handed;
    QString m_payload;
    QString m_carries;
    QString m_pasted;
    QString m_first;
    QString m_countText;
    QString m_taken;
    QString m_failure;
};

} // namespace discal::viewmodels
