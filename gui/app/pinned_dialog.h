// SPDX-License-Identifier: MIT
#pragma once

#include <QDialog>

#include <vector>

#include "engine/trial/pinned.h"
#include "gui/models/job_session.h"

class QLabel;
class QListWidget;
class QProgressBar;
class QPushButton;

namespace spanwright::app {

/// The trials that the job keeps for its report: what each asks, and what is wrong with it if it cannot be worked out.
class PinnedDialog : public QDialog {
    Q_OBJECT

public:
    explicit PinnedDialog(models::JobSession& session, QWidget* parent);
    [[nodiscard]] QListWidget& list() { return *m_list; }
    [[nodiscard]] QString told() const;
    void takeOut();

private:
    void fill();
    void tell();
    models::JobSession& m_session;
    std::vector<QString> m_told; ///< by row: what is to be said of it
    QListWidget* m_list;
    QLabel* m_words;
    QPushButton* m_out;
};

} // namespace spanwright::app
