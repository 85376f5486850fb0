// links: core_journal platform_system
// start_store FOLDER JOBS: fills a store with open jobs, each with the entry that opened it and its row in the index.
#include <core/journal/store.h>
#include <core/trust/trust.h>
#include <platform/system/system.h>

#include <cstdio>
#include <cstdlib>

using namespace chockside;

namespace {

constexpr const char* tails[] = {"Q4-RMP", "Q4-TLN", "Q4-WHM"};
constexpr const char* complaints[] = {
    "Heading display drifts and flags in the climb", "Attitude display slow to erect", "Altitude disagrees side to side", "Heading 12 degrees off after landing"};

journal::Draft opened(int number)
{
    json::Value body(json::Object{});
    body.at("tail") = tails[number % 3];
    body.at("aircraft_type") = "Sandgrouse 12";
    body.at("complaint") = complaints[number % 4];
    body.at("complaint_kind") = "heading";
    body.at("profile") = "sandgrouse_12";
    body.at("profile_revision") = "1";
    body.at("profile_sha") = std::string(64, '0');
    body.at("practice") = true;
    body.at("scale_milli") = 1000;
    journal::Draft draft;
    draft.kind = "opened";
    draft.body = std::move(body);
    draft.person = "ab";
    return draft;
}

Status add_job(journal::Store& store, const Clock& clock, int number)
{
    const std::string id = "job-" + std::to_string(number);
    const journal::Draft drafts[] = {opened(number)};
    if (auto written = store.append(id, "open-" + id, drafts); !written) return Unexpected{written.error()};
    journal::JobRow row;
    row.job = id;
    row.title = complaints[number % 4];
    row.tail = tails[number % 3];
    row.status = "open";
    row.opened_utc_ms = row.changed_utc_ms = clock.now().utc_ms;
    row.entries = 1;
    row.practice = true;
    return store.set_row(row);
}

int complain(const Problem& problem)
{
    std::fprintf(stderr, "%s %s\n", problem.code.c_str(), problem.place.c_str());
    return 3;
}

} // namespace

int main(int argc, char** argv)
{
    if (argc != 3) return std::fputs("start_store FOLDER JOBS\n", stderr), 2;
    system::SystemClock clock;
    system::SystemDisk disk;
    trust::SystemRandom random;
    journal::Store::Options options;
    options.folder = argv[1];
    if (auto made = disk.make_folder(argv[1]); !made) return complain(made.error());
    auto store = journal::Store::open(disk, clock, random, options);
    if (!store) return complain(store.error());
    for (int number = 0; number < std::atoi(argv[2]); ++number)
        if (auto added = add_job(**store, clock, number); !added) return complain(added.error());
    if (auto moved = (*store)->checkpoint(); !moved) return complain(moved.error());
    return 0;
}
