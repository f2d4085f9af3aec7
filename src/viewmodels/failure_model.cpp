#include "viewmodels/failure_model.h"

#include <utility>

namespace discal::viewmodels {

void FailureModel::set(const Error& error, std::function<void()> again, const QString& unsaved) {
    set(FieldPhone::sentenceFor(error), std::move(again), unsaved);
}

void FailureModel::set(const QString& sentence, std::function<void()> again, const QString& unsaved) {
    m_sentence = sentence;
    m_unsaved = unsaved;
    m_again = std::move(again);
    emit changed();
}

void FailureModel::retry() {
    const auto again = std::exchange(m_again, {});
    m_sentence.clear();
    m_unsaved.clear();
    emit changed();
    if (again)
        again();
}

void FailureModel::dismiss() {
    if (m_sentence.isEmpty() && !m_again)
        return;
    m_sentence.clear();
    m_unsaved.clear();
    m_again = {};
    emit changed();
}

} // namespace discal::viewmodels
