#pragma once

#include "viewmodels/failure_model.h"

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
    Q_PROPERTY(int run MEMBER m_run NOTIFY drafted)
    /// How many, from the end of the run; 0 is all of it
    Q_PROPERTY(int count MEMBER m_count NOTIFY drafted)
    /// Other phones that this file knows of: name and the beginning of their code
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
    /// What was handed over last, if its line is near the end of our chain; else empty
    Q_PROPERTY(QString handedBefore READ handedBefore NOTIFY drafted)

    // Taking
    Q_PROPERTY(QString pasted MEMBER m_pasted NOTIFY takingDrafted)
    Q_PROPERTY(QString first MEMBER m_first NOTIFY takingDrafted)
    Q_PROPERTY(QString countText MEMBER m_countText NOTIFY takingDrafted)
    Q_PROPERTY(QString inHand READ inHand NOTIFY takingDrafted)
    Q_PROPERTY(bool canTake READ canTake NOTIFY takingDrafted)
    /// What came of it, in a sentence
    Q_PROPERTY(QString taken READ taken NOTIFY shown)

    Q_PROPERTY(discal::viewmodels::FailureModel* failure READ failure CONSTANT)

public:
    explicit HandRunModel(FieldPhone& phone, QObject* parent = nullptr);

    [[nodiscard]] QStringList runs() const { return m_runNames; }
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
    [[nodiscard]] QString handedBefore() const { return m_handedBefore; }
    [[nodiscard]] QString inHand() const;
    [[nodiscard]] bool canTake() const { return !m_pasted.trimmed().isEmpty() || typedRun(); }
    [[nodiscard]] QString taken() const { return m_taken; }
    [[nodiscard]] FailureModel* failure() { return &m_failure; }
    void setDevice(int device);
    void setDeviceCode(const QString& code);

    /// Looks up runs and phones anew: a page opens.
    Q_INVOKABLE void begin();
    /// Hands the run over: this phone stops offering it in the same moment.
    Q_INVOKABLE bool hand();
    /// To send it by whatever there is.
    Q_INVOKABLE void copyPayload() const;
    /// The other phone did not get it: the same again, as long as one code still reaches back to it.
    Q_INVOKABLE void showAgain();
    Q_INVOKABLE void paste();
    /// The camera has read what the other phone shows: as if it had been pasted.
    void takeText(const QString& text);
    /// What was pasted is read; or, without that, the typed run is said to be in our hand.
    Q_INVOKABLE bool take();

signals:
    void drafted();
    void shown();
    void takingDrafted();

private:
    struct Other {
        journal::DeviceId id;
        QString name;
    };
    [[nodiscard]] std::optional<tag::Run> chosenRun() const;
    [[nodiscard]] std::optional<journal::DeviceId> chosenDevice() const;
    [[nodiscard]] std::optional<tag::Run> typedRun() const;
    [[nodiscard]] tag::RunSet heldHere();
    void lookBack();
    void makePayload();
    bool failed(const QString& sentence);

    FieldPhone& m_phone;
    FailureModel m_failure;
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
    QString m_handedBefore;
    QString m_pasted;
    QString m_first;
    QString m_countText;
    QString m_taken;
};

} // namespace discal::viewmodels
