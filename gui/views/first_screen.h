// SPDX-License-Identifier: MIT
#pragma once

#include <QStackedWidget>
#include <QStringList>

#include <optional>
#include <vector>

#include "gui/models/first_job.h"

class QGridLayout;
class QLabel;
class QListWidget;
class QPushButton;
class QSplitter;

namespace spanwright::views {

class FirstStanding;
class PictureButton;
class QuestionForm;

/// What stands where no job is open: pictures of what can be built, then by which rules, then what the sheet asks,
/// with verdict and sketch beside it. Ends in a job that somebody else keeps in a file.
class FirstScreen : public QStackedWidget {
    Q_OBJECT

public:
    FirstScreen(QString library, QString example, QWidget* parent = nullptr);
    void setRecent(const QStringList& files);
    [[nodiscard]] models::FirstJob& job() { return m_job; }
    [[nodiscard]] QuestionForm& form() { return *m_form; }
    [[nodiscard]] FirstStanding& standing() { return *m_standing; }
    [[nodiscard]] QListWidget& rules() { return *m_rules; }
    [[nodiscard]] PictureButton* button(models::FirstPicture picture) const;
    /// To the pictures; answers given stay until another sheet is begun.
    void showPictures();
    void choosePicture(models::FirstPicture picture);
    /// All ready sheets, those without a picture too.
    void chooseAnySheet();
    /// Begins with a sheet; false when it cannot be read, which is then said on the page.
    bool begin(const QString& sheet);
    /// True where answers would be lost by leaving.
    [[nodiscard]] bool hasAnswers() const;
    /// Takes what is being typed, as if the person went on.
    void takeTyped();

Q_SIGNALS:
    void openWanted();
    void fileWanted(const QString& path);
    /// The answers are to be kept as a job.
    void keepWanted();
    /// Another sheet's cautions hold now.
    void sheetChanged();

protected:
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;
    bool eventFilter(QObject* object, QEvent* event) override;

private:
    [[nodiscard]] QWidget* buildPictures();
    [[nodiscard]] QWidget* buildRules();
    [[nodiscard]] QWidget* buildQuestions();
    void layPictures();
    void fitFonts();
    void takeRule();
    [[nodiscard]] const std::vector<job::ReadySheet>& sheets();
    void listRules(const QString& title, const std::vector<job::ReadySheet>& sheets);

    QString m_library, m_example;
    models::FirstJob m_job;
    std::optional<std::vector<job::ReadySheet>> m_sheets; ///< read when first needed
    std::optional<models::FirstPicture> m_picture;
    std::vector<PictureButton*> m_pictures;
    QGridLayout* m_grid = nullptr;
    int m_columns = 0;
    QLabel *m_title = nullptr, *m_rulesTitle = nullptr, *m_rulesWords = nullptr, *m_questionsTitle = nullptr, *m_recentTitle = nullptr;
    QListWidget *m_recent = nullptr, *m_rules = nullptr;
    QPushButton* m_goOn = nullptr;
    QSplitter* m_split = nullptr;
    QuestionForm* m_form = nullptr;
    FirstStanding* m_standing = nullptr;
    QWidget *m_picturesPage = nullptr, *m_rulesPage = nullptr, *m_questionsPage = nullptr;
};

} // namespace spanwright::views
