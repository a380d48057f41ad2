// SPDX-License-Identifier: MIT
#pragma once

#include <QWidget>

#include <optional>

#include "gui/models/far_model.h"
#include "gui/models/history.h"
#include "gui/models/tolerance_words.h"
#include "gui/models/weight_list.h"

class QLabel;
class QListView;
class QPushButton;

namespace spanwright::views {

class FarBar;
class MendsView;

/// What trials say of the value that is selected, as part of its working: of a stated value how far it can go, of a check
/// what would make it pass, what weighs on it, and whether it holds within the tolerances. Worked out beside the window, and only while it is seen.
class TrialGlance : public QWidget {
    Q_OBJECT

public:
    explicit TrialGlance(models::JobSession& session, QWidget* parent = nullptr);
    void showCell(std::optional<models::CellId> cell);
    /// Of one of the job's own values, by name.
    void showJobValue(const std::string& name);
    /// After an edit: a check may fail now, or pass.
    void refresh();
    [[nodiscard]] models::FarModel& far() { return *m_far; }
    [[nodiscard]] models::WeightList& weights() { return *m_weights; }
    [[nodiscard]] models::ToleranceWords& tolerance() { return *m_tolerance; }
    [[nodiscard]] MendsView& mends() { return *m_mends; }
    [[nodiscard]] QListView& weightsView() { return *m_weightsView; }
    [[nodiscard]] FarBar& bar() { return *m_bar; }
    /// All that it says in words.
    [[nodiscard]] QString shownText() const;

Q_SIGNALS:
    void followed(const spanwright::models::Spot& spot);
    void varyWanted();
    void pinWanted();
    void pinToleranceWanted();

protected:
    void showEvent(QShowEvent* event) override;
    void hideEvent(QHideEvent* event) override;
    void changeEvent(QEvent* event) override;

private:
    void attend();
    void refreshFar();
    void refreshWeights();
    void refreshTolerance();
    void follow(const QModelIndex& at);
    models::JobSession& m_session;
    models::FarModel* m_far;
    models::WeightList* m_weights;
    models::ToleranceWords* m_tolerance;
    std::optional<models::CellId> m_cell;
    std::string m_jobValue; ///< where no cell is selected
    bool m_stated = false, m_check = false;
    QLabel *m_title, *m_words, *m_weightsTitle, *m_weightsWords, *m_toleranceTitle, *m_toleranceWords;
    FarBar* m_bar;
    MendsView* m_mends;
    QListView* m_weightsView;
    QWidget* m_buttons;
    QPushButton *m_vary, *m_pin, *m_pinTolerance;
};

} // namespace spanwright::views
