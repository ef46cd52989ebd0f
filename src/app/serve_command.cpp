#include "app/serve_command.hpp"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <thread>

#include "app/command_line.hpp"
#include "demo/demo_shop.hpp"
#include "input/input_error.hpp"
#include "service/service.hpp"
#include "shop/verdict.hpp"

namespace boxfettle {
namespace {

namespace fs = std::filesystem;

struct Listen {
  std::string address = "127.0.0.1";
  std::uint16_t port = 8480;
};

Listen listen_of(const CommandLine& line) {
  Listen listen;
  const std::optional<std::string> given = line.value("--listen");
  if (!given) return listen;
  const std::size_t colon = given->rfind(':');
  const std::string port = colon == std::string::npos ? "" : given->substr(colon + 1);
  const bool number =
      !port.empty() && port.size() <= 5 && port.find_first_not_of("0123456789") == std::string::npos;
  if (!number || colon == 0 || std::stoi(port) > 65535)
    throw WrongUse("--listen takes ADDRESS:PORT, such as 127.0.0.1:8480, not '" + *given + "'");
  listen.address = given->substr(0, colon);
  if (listen.address.starts_with('[') && listen.address.ends_with(']'))
    listen.address = listen.address.substr(1, listen.address.size() - 2);
  listen.port = static_cast<std::uint16_t>(std::stoi(port));
  return listen;
}

// Named with --page, or where a build leaves it: beside the program, or in the source tree it was built in.
std::optional<fs::path> page_folder(const CommandLine& line) {
  if (const auto given = line.value("--page")) return fs::path(*given);
  std::error_code ignored;
  const fs::path program = fs::read_symlink("/proc/self/exe", ignored);
  for (const fs::path& folder : {program.parent_path() / "page", program.parent_path() / "../../web/dist"})
    if (fs::exists(folder / "index.html", ignored)) return folder.lexically_normal();
  return std::nullopt;
}

std::string first_line(const fs::path& file, const std::string& otherwise) {
  std::ifstream in(file);
  std::string line;
  return std::getline(in, line) && !line.empty() ? line : otherwise;
}

std::string whole_text(const fs::path& file) {
  std::ifstream in(file);
  return {std::istreambuf_iterator<char>(in), {}};
}

// A folder that is missing or empty gets the invented shop; anything else must hold a record.
void make_demo_when_empty(const fs::path& dir) {
  std::error_code ignored;
  if (fs::exists(dir / "boxfettle.sqlite", ignored)) return;
  if (fs::exists(dir, ignored) && !fs::is_empty(dir, ignored))
    throw InputError(dir.string(), "", "holds files but no record (boxfettle.sqlite)",
                     "name the shop's data directory, or a new one for the demo shop");
  std::printf("Making the invented shop 'Tarnmoor Castings' in %s ...\n", dir.c_str());
  std::fflush(stdout);
  demo::write_demo(dir, clock_time());
}

std::string cut_to(std::string text, std::size_t most) {
  if (text.size() <= most) return text;
  std::size_t end = most - 3;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xc0) == 0x80)
    --end;  // never inside a character
  return text.substr(0, end) + "...";
}

// The boxes that want a look, worst first; how many are fit.
void print_table(Service& service, const Catalogue& catalogue) {
  constexpr std::size_t most_lines = 12;
  struct Row {
    Verdict verdict;
    std::string id, name;
  };
  std::vector<Row> rows;
  std::size_t fit = 0;
  for (const auto& box : service.shop().boxes()) {
    Row row{verdict(*box, catalogue, clock_time()), box->box, box->registered->name};
    if (row.verdict.state == Fitness::fit)
      ++fit;
    else
      rows.push_back(std::move(row));
  }
  std::stable_sort(rows.begin(), rows.end(),
                   [](const Row& a, const Row& b) { return a.verdict.state > b.verdict.state; });
  std::printf("\n%-8s %-9s %-28s %s\n", "verdict", "box", "name", "first reason");
  for (std::size_t i = 0; i < std::min(rows.size(), most_lines); ++i)
    std::printf("%-8s %-9s %-28s %s\n", std::string(name(rows[i].verdict.state)).c_str(), rows[i].id.c_str(),
                cut_to(rows[i].name, 28).c_str(), cut_to(rows[i].verdict.reasons.at(0).text, 90).c_str());
  if (rows.size() > most_lines) std::printf("... and %zu more to watch or hold\n", rows.size() - most_lines);
  std::printf("%zu boxes are fit.\n\nCtrl-C stops the service.\n", fit);
  std::fflush(stdout);
}

// Scans handed in before the start are read first, so that the table tells what they found; but not for ever.
void wait_for_readings(Service& service, Store& store, const std::stop_token& stop) {
  using namespace std::chrono_literals;
  const auto until = std::chrono::steady_clock::now() + 30s;
  const auto waiting = [&] {
    for (const auto& box : service.shop().boxes())
      if (!store.jobs.open_of_box(box->box).empty()) return true;
    return false;
  };
  bool told = false;
  while (!stop.stop_requested() && std::chrono::steady_clock::now() < until && waiting()) {
    if (!told) std::printf("Reading the scans that were handed in ...\n");
    told = true;
    std::fflush(stdout);
    std::this_thread::sleep_for(200ms);
  }
}

Answer serve(const CommandLine& line) {
  const Listen listen = listen_of(line);
  if (const auto kind = line.value("--store"); kind && *kind != "sqlite")
    throw WrongUse("--store takes sqlite; other records are not there yet");
  const fs::path dir = line.value("--data").value_or("boxfettle-data");
  make_demo_when_empty(dir);
  Store store(dir);
  const Catalogue& catalogue = shipped_catalogue();
  ServiceSettings settings;
  settings.shop_name = first_line(dir / "shop-name.txt", "Core shop");
  settings.page = page_folder(line);
  settings.http.address = listen.address;
  settings.http.port = listen.port;
  settings.tell = [](const std::string& fault) { std::fprintf(stderr, "boxfettle: %s\n", fault.c_str()); };
  Service service(store, catalogue, settings);
  service.stop_on_signals();
  const bool loopback = listen.address.starts_with("127.") || listen.address == "::1";
  if (!loopback)
    std::fprintf(
        stderr,
        "boxfettle: %s is reached over the network without encryption; put a TLS proxy in front of it\n",
        listen.address.c_str());
  const std::string host =
      listen.address.find(':') == std::string::npos ? listen.address : "[" + listen.address + "]";
  std::printf("Boxfettle serves %s at http://%s:%u/\n", settings.shop_name.c_str(), host.c_str(),
              service.port());
  if (!settings.page) std::printf("Without the page: its files are not built; the API is under /api/.\n");
  if (const std::string sign_in = whole_text(dir / "sign-in.txt"); !sign_in.empty())
    std::printf("\nSign in (from %s):\n%s\n", (dir / "sign-in.txt").c_str(), sign_in.c_str());
  std::fflush(stdout);
  {
    const std::jthread table([&](const std::stop_token& stop) {
      wait_for_readings(service, store, stop);
      if (!stop.stop_requested()) print_table(service, catalogue);
    });
    service.run();
  }
  std::printf("Stopped.\n");
  std::fflush(stdout);
  // A reading in its middle is done anew at the next start: nothing is lost by not waiting for it.
  if (!service.worker_stopped_within(std::chrono::seconds(2))) std::_Exit(exit_done);
  return {};
}

}  // namespace

Command serve_command() {
  return {"serve",
          "serve the page and the API, and read the scans that are handed in",
          {},
          {{"--data", "DIR",
            "the shop's record; a new or empty one gets the invented demo shop (boxfettle-data)"},
           {"--listen", "ADDR:PORT", "where to listen (127.0.0.1:8480); port 0 takes any free one"},
           {"--store", "KIND", "sqlite, which is also the default"},
           {"--page", "DIR", "the built page, when it is not beside the program"}},
          "  boxfettle serve --data tarnmoor --listen 127.0.0.1:8480\n"
          "Prints the address, who can sign in to a demo shop, and the boxes that want a look. Ctrl-C stops "
          "it.\n",
          serve};
}

}  // namespace boxfettle
