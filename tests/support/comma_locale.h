#pragma once
// A system language whose numbers carry a decimal comma, made on the spot: no machine must have one installed.

#include <QFile>
#include <QProcess>
#include <QTemporaryDir>
#include <QTest>

#include <clocale>
#include <cstdlib>

namespace chockside::tests {

/// While this lives the C library writes and reads "-1,13".
class CommaLocale {
public:
    CommaLocale()
    {
        QFile source(folder_.filePath("comma.src"));
        if (!source.open(QIODevice::WriteOnly)) return;
        source.write("escape_char /\ncomment_char %\nLC_NUMERIC\ndecimal_point \",\"\nthousands_sep \".\"\ngrouping 3;3\nEND LC_NUMERIC\n");
        source.close();
        QProcess::execute("sh", {"-c", "localedef --no-archive -c -i \"$1\" \"$2\" 2>/dev/null", "sh", source.fileName(), folder_.filePath("comma")});
        qputenv("LOCPATH", QFile::encodeName(folder_.path()));
        made_ = std::setlocale(LC_NUMERIC, "comma") != nullptr;
    }
    ~CommaLocale()
    {
        std::setlocale(LC_NUMERIC, "C");
        qunsetenv("LOCPATH");
    }
    CommaLocale(const CommaLocale&) = delete;
    CommaLocale& operator=(const CommaLocale&) = delete;

    bool holds() const { return made_ && std::strtod("0,5", nullptr) == 0.5; }

private:
    QTemporaryDir folder_;
    bool made_ = false;
};

} // namespace chockside::tests
