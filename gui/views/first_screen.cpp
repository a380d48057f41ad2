// SPDX-License-Identifier: MIT
#include "gui/views/first_screen.h"

#include <QEvent>
#include <QFileInfo>
#include <QGridLayout>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QListWidget>
#include <QPushButton>
#include <QScrollArea>
#include <QSplitter>
#include <QVBoxLayout>

#include <algorithm>

#include "gui/models/text.h"
#include "gui/views/first_picture.h"
#include "gui/views/first_standing.h"
#include "gui/views/question_form.h"

namespace spanwright::views {

using models::FirstPicture;
using models::fromUtf8;
using models::toUtf8;

namespace {
constexpr int kSheetRole = Qt::UserRole;
constexpr int kMostRecentSeen = 5;
constexpr int kMostAbreast = 3; ///< pictures: they are looked at, not only told apart
} // namespace

FirstScreen::FirstScreen(QString library, QString example, QWidget* parent)
    : QStackedWidget(parent), m_library(std::move(library)), m_example(std::move(example)), m_job(m_library) {
    addWidget(m_picturesPage = buildPictures());
    addWidget(m_rulesPage = buildRules());
    addWidget(m_questionsPage = buildQuestions());
    fitFonts();
    setCurrentWidget(m_picturesPage);
    setFocusProxy(m_pictures.front());
}

QWidget* FirstScreen::buildPictures() {
    auto* scroll = new QScrollArea(this);
    scroll->setWidgetResizable(true);
    scroll->setFrameStyle(QFrame::NoFrame);
    scroll->setFocusPolicy(Qt::NoFocus);
    scroll->setAccessibleName(tr("What is to be built"));
    auto* page = new QWidget(scroll);
    auto* column = new QVBoxLayout(page);
    column->setContentsMargins(32, 24, 32, 16);
    column->setSpacing(10);
    m_title = new QLabel(tr("What is to be built?"), page);
    column->addWidget(m_title);
    auto* words = new QLabel(tr("Choose a picture: you are then asked what its calculation needs, and see how it stands as you answer."), page);
    words->setWordWrap(true);
    column->addWidget(words);
    m_grid = new QGridLayout;
    m_grid->setSpacing(12);
    for (const FirstPicture p : models::kFirstPictures) {
        auto* button = new PictureButton(p, page);
        button->installEventFilter(this);
        connect(button, &QAbstractButton::clicked, this, [this, p] { choosePicture(p); });
        m_pictures.push_back(button);
    }
    column->addLayout(m_grid);
    m_columns = 0;
    layPictures();
    auto* row = new QHBoxLayout;
    m_goOn = new QPushButton(tr("&Go on with the answers"), page);
    connect(m_goOn, &QPushButton::clicked, this, [this] {
        setCurrentWidget(m_questionsPage);
        m_form->goToFirst();
    });
    m_goOn->hide();
    row->addWidget(m_goOn);
    auto* other = new QPushButton(tr("So&mething else..."), page);
    connect(other, &QPushButton::clicked, this, &FirstScreen::chooseAnySheet);
    row->addWidget(other);
    auto* openJob = new QPushButton(tr("&Open a job..."), page);
    connect(openJob, &QPushButton::clicked, this, &FirstScreen::openWanted);
    row->addWidget(openJob);
    if (!m_example.isEmpty()) {
        auto* example = new QPushButton(tr("Look at the e&xample"), page);
        connect(example, &QPushButton::clicked, this, [this] { Q_EMIT fileWanted(m_example); });
        row->addWidget(example);
    }
    row->addStretch(1);
    column->addLayout(row);
    m_recentTitle = new QLabel(tr("Open again"), page);
    column->addWidget(m_recentTitle);
    m_recent = new QListWidget(page);
    m_recent->setFrameStyle(QFrame::NoFrame);
    m_recent->setAccessibleName(tr("Open again"));
    m_recent->setTextElideMode(Qt::ElideMiddle);
    m_recent->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    const auto open = [this](QListWidgetItem* item) { Q_EMIT fileWanted(item->data(kSheetRole).toString()); };
    connect(m_recent, &QListWidget::itemActivated, this, open);
    connect(m_recent, &QListWidget::itemClicked, this, open);
    column->addWidget(m_recent);
    column->addStretch(1);
    scroll->setWidget(page);
    setRecent({});
    return scroll;
}

QWidget* FirstScreen::buildRules() {
    auto* page = new QWidget(this);
    auto* column = new QVBoxLayout(page);
    column->setContentsMargins(32, 24, 32, 16);
    column->setSpacing(10);
    m_rulesTitle = new QLabel(page);
    column->addWidget(m_rulesTitle);
    m_rulesWords = new QLabel(page);
    m_rulesWords->setWordWrap(true);
    column->addWidget(m_rulesWords);
    m_rules = new QListWidget(page);
    m_rules->setAccessibleName(tr("Sheets to calculate by"));
    m_rules->setWordWrap(true);
    m_rules->setSpacing(2);
    connect(m_rules, &QListWidget::itemActivated, this, &FirstScreen::takeRule);
    column->addWidget(m_rules, 1);
    auto* row = new QHBoxLayout;
    auto* take = new QPushButton(tr("&Calculate by it"), page);
    connect(take, &QPushButton::clicked, this, &FirstScreen::takeRule);
    auto* back = new QPushButton(tr("&Back to the pictures"), page);
    connect(back, &QPushButton::clicked, this, &FirstScreen::showPictures);
    row->addWidget(take);
    row->addWidget(back);
    row->addStretch(1);
    column->addLayout(row);
    return page;
}

QWidget* FirstScreen::buildQuestions() {
    auto* page = new QWidget(this);
    auto* column = new QVBoxLayout(page);
    column->setContentsMargins(24, 14, 16, 12);
    column->setSpacing(8);
    m_questionsTitle = new QLabel(page);
    m_questionsTitle->setWordWrap(true);
    column->addWidget(m_questionsTitle);
    m_split = new QSplitter(Qt::Horizontal, page);
    m_split->setChildrenCollapsible(false);
    m_form = new QuestionForm(m_job, m_split);
    m_standing = new FirstStanding(m_job, m_split);
    m_split->addWidget(m_form);
    m_split->addWidget(m_standing);
    m_split->setStretchFactor(0, 1);
    m_split->setStretchFactor(1, 1);
    column->addWidget(m_split, 1);
    auto* row = new QHBoxLayout;
    auto* keep = new QPushButton(tr("&Keep as a job..."), page);
    connect(keep, &QPushButton::clicked, this, &FirstScreen::keepWanted);
    auto* rules = new QPushButton(tr("Other &rules..."), page);
    connect(rules, &QPushButton::clicked, this, [this] {
        if (m_picture)
            choosePicture(*m_picture);
        else
            chooseAnySheet();
    });
    auto* back = new QPushButton(tr("&Back to the pictures"), page);
    connect(back, &QPushButton::clicked, this, &FirstScreen::showPictures);
    row->addWidget(keep);
    row->addWidget(rules);
    row->addWidget(back);
    row->addStretch(1);
    column->addLayout(row);
    connect(m_standing, &FirstStanding::wanted, m_form, &QuestionForm::goTo);
    return page;
}

void FirstScreen::fitFonts() {
    QFont large = font();
    if (large.pointSizeF() > 0) large.setPointSizeF(large.pointSizeF() * 1.6);
    m_title->setFont(large);
    m_rulesTitle->setFont(large);
    QFont bold = font();
    bold.setBold(true);
    m_questionsTitle->setFont(bold);
    m_recentTitle->setFont(bold);
    if (m_recent->count() > 0) m_recent->setFixedHeight(m_recent->count() * (fontMetrics().height() + 6) + 4);
}

void FirstScreen::layPictures() {
    const int least = m_pictures.front()->minimumSizeHint().width() + 12;
    const int columns = std::clamp((width() - 64) / std::max(1, least), 1, kMostAbreast);
    if (columns == m_columns) return;
    m_columns = columns;
    for (std::size_t i = 0; i < m_pictures.size(); ++i) m_grid->addWidget(m_pictures[i], static_cast<int>(i) / columns, static_cast<int>(i) % columns);
    for (int c = 0; c < static_cast<int>(m_pictures.size()); ++c) m_grid->setColumnStretch(c, c < columns ? 1 : 0);
}

void FirstScreen::resizeEvent(QResizeEvent* event) {
    QStackedWidget::resizeEvent(event);
    layPictures();
    // Side by side while both have room, else below one another.
    const bool wide = width() > fontMetrics().averageCharWidth() * 84;
    m_split->setOrientation(wide ? Qt::Horizontal : Qt::Vertical);
    if (wide) m_split->setSizes({width() * 52 / 100, width() * 48 / 100});
}

void FirstScreen::changeEvent(QEvent* event) {
    QStackedWidget::changeEvent(event);
    if (event->type() != QEvent::FontChange || m_questionsPage == nullptr) return;
    fitFonts();
    m_columns = 0;
    layPictures();
}

void FirstScreen::keyPressEvent(QKeyEvent* event) {
    if (event->key() == Qt::Key_Escape && currentWidget() != m_picturesPage) {
        showPictures();
        return;
    }
    QStackedWidget::keyPressEvent(event);
}

/// The arrow keys go from picture to picture, as they stand.
bool FirstScreen::eventFilter(QObject* object, QEvent* event) {
    const auto at = std::find(m_pictures.begin(), m_pictures.end(), object);
    if (at == m_pictures.end() || event->type() != QEvent::KeyPress) return QStackedWidget::eventFilter(object, event);
    int step = 0;
    switch (static_cast<QKeyEvent*>(event)->key()) {
    case Qt::Key_Left: step = -1; break;
    case Qt::Key_Right: step = 1; break;
    case Qt::Key_Up: step = -m_columns; break;
    case Qt::Key_Down: step = m_columns; break;
    case Qt::Key_Return:
    case Qt::Key_Enter: (*at)->click(); return true;
    default: return QStackedWidget::eventFilter(object, event);
    }
    const auto to = (at - m_pictures.begin()) + step;
    if (to >= 0 && to < static_cast<std::ptrdiff_t>(m_pictures.size())) m_pictures[static_cast<std::size_t>(to)]->setFocus(Qt::TabFocusReason);
    return true;
}

void FirstScreen::setRecent(const QStringList& files) {
    m_recent->clear();
    for (const QString& path : files) {
        if (m_recent->count() == kMostRecentSeen) break;
        auto* item = new QListWidgetItem(QStringLiteral("%1   %2").arg(QFileInfo(path).fileName(), QFileInfo(path).path()), m_recent);
        item->setToolTip(path);
        item->setData(kSheetRole, path);
    }
    m_recent->setVisible(m_recent->count() > 0);
    m_recentTitle->setVisible(m_recent->count() > 0);
    m_recent->setFixedHeight(m_recent->count() * (fontMetrics().height() + 6) + 4);
}

PictureButton* FirstScreen::button(FirstPicture picture) const {
    for (PictureButton* b : m_pictures)
        if (b->picture() == picture) return b;
    return nullptr;
}

void FirstScreen::showPictures() {
    m_goOn->setVisible(hasAnswers());
    setCurrentWidget(m_picturesPage);
    PictureButton* to = m_picture ? button(*m_picture) : m_pictures.front();
    to->setFocus(Qt::OtherFocusReason);
}

const std::vector<job::ReadySheet>& FirstScreen::sheets() {
    if (!m_sheets) m_sheets = job::readySheets(io::Disk(), toUtf8(m_library));
    return *m_sheets;
}

void FirstScreen::choosePicture(FirstPicture picture) {
    m_picture = picture;
    const std::vector<job::ReadySheet> fit = models::sheetsOf(picture, sheets());
    m_standing->setPicture(picture);
    listRules(models::firstPictureName(picture), fit);
    m_rulesWords->setText(fit.empty() ? tr("There is no ready sheet for it where the ready sheets are looked for: %1").arg(m_library)
                                      : tr("By which rules, and of which kind? The rules of the place where you build count."));
}

void FirstScreen::chooseAnySheet() {
    m_picture.reset();
    m_standing->setPicture({});
    listRules(tr("Any ready sheet"), sheets());
    m_rulesWords->setText(m_rules->count() == 0 ? tr("There are no ready sheets where they are looked for: %1").arg(m_library)
                                                : tr("Loads, joints and all the rest: each sheet asks what it needs."));
}

void FirstScreen::listRules(const QString& title, const std::vector<job::ReadySheet>& list) {
    m_rulesTitle->setText(title);
    m_rules->clear();
    for (const job::ReadySheet& s : list) {
        QStringList basis;
        for (const std::string& b : s.basis) basis << fromUtf8(b);
        auto* item = new QListWidgetItem(QStringLiteral("%1\n%2").arg(fromUtf8(s.title), basis.join(QStringLiteral("; "))), m_rules);
        item->setData(kSheetRole, fromUtf8(s.name));
        item->setToolTip(fromUtf8(s.name));
        if (fromUtf8(s.name) == m_job.sheet()) m_rules->setCurrentItem(item);
    }
    if (m_rules->currentRow() < 0 && m_rules->count() > 0) m_rules->setCurrentRow(0);
    setCurrentWidget(m_rulesPage);
    m_rules->setFocus(Qt::OtherFocusReason);
}

void FirstScreen::takeRule() {
    if (const QListWidgetItem* item = m_rules->currentItem()) begin(item->data(kSheetRole).toString());
}

bool FirstScreen::begin(const QString& sheet) {
    if (sheet != m_job.sheet() || !m_job.isBegun()) {
        QString mark = QStringLiteral("M1");
        if (const auto picture = models::pictureOf({toUtf8(sheet), {}, {}})) mark = models::firstMark(*picture);
        if (const models::Outcome no = m_job.begin(sheet, mark)) {
            m_rulesWords->setText(no->mend.isEmpty() ? no->message : tr("%1; mend: %2").arg(no->message, no->mend));
            return false;
        }
    }
    m_questionsTitle->setText(tr("%1: what is known of it?").arg(m_picture ? models::firstPictureName(*m_picture) : sheet));
    setCurrentWidget(m_questionsPage);
    m_form->goToFirst();
    Q_EMIT sheetChanged();
    return true;
}

void FirstScreen::takeTyped() {
    if (m_job.isBegun()) m_form->takeTyped();
}

bool FirstScreen::hasAnswers() const {
    if (!m_job.isBegun()) return false;
    if (!m_job.refused().empty()) return true;
    const auto& rows = m_job.member().quantities;
    return std::any_of(rows.begin(), rows.end(), [](const job::QuantityView& q) { return q.stated; });
}

} // namespace spanwright::views
