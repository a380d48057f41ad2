// SPDX-License-Identifier: MIT
#pragma once

#include <QDialog>
#include <QTimer>

#include <optional>

#include "gui/models/loading.h"

class QLabel;
class QProgressBar;

namespace spanwright::app {

/// How far an opening has come: in words, and of the whole.
[[nodiscard]] QString inWords(const job::Progress& p);
[[nodiscard]] int permilleOf(const job::Progress& p);

/// Says how far a loading has come, and can stop it. The window below is seen and goes on painting; nothing can be
/// edited in it meanwhile.
class LoadDialog : public QDialog {
    Q_OBJECT

public:
    LoadDialog(models::Loading& loading, QWidget* parent);
    /// Waits for the end of the loading; the dialog is seen only if that takes a while. Nothing when it was stopped.
    [[nodiscard]] std::optional<models::LoadedJob> run();

protected:
    void reject() override;

private:
    void refresh();
    models::Loading& m_loading;
    QTimer m_often;
    QLabel* m_words;
    QProgressBar* m_bar;
    bool m_done = false;
};

} // namespace spanwright::app
