#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <cerrno>
#include <filesystem>
#include <memory>
#include <system_error>

#include "app/app.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "share/signature.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

namespace {

/// Writes a file that is not there yet. What went wrong, in words; "" when nothing did.
std::string write_new(const std::string& path, const std::string& text, mode_t mode) {
  const auto problem = [&](int error) {
    return error == EEXIST
               ? "There is a file `" + path + "` already, and keys are never written over."
               : "`" + path + "` cannot be written: " + std::generic_category().message(error) +
                     ".";
  };
  const int descriptor = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW, mode);
  if (descriptor < 0) return problem(errno);
  int error = 0;
  if (::write(descriptor, text.data(), text.size()) != static_cast<ssize_t>(text.size())) {
    error = errno == 0 ? EIO : errno;
  }
  if (error == 0 && ::fchmod(descriptor, mode) != 0) error = errno;
  if (error == 0 && ::fsync(descriptor) != 0) error = errno;
  if (::close(descriptor) != 0 && error == 0) error = errno;
  if (error == 0) return "";
  ::unlink(path.c_str());
  return problem(error);
}

int run_keys(const std::string& name) {
  constexpr mode_t only_owner = 0600;
  constexpr mode_t readable = 0644;
  const std::string secret = name + ".secret";
  const std::string open = name + ".public";
  const share::KeyPair keys = share::make_keys();
  std::string problem = write_new(secret, share::secret_key_text(keys), only_owner);
  if (problem.empty()) {
    problem = write_new(open, share::public_key_text(keys), readable);
    if (!problem.empty()) ::unlink(secret.c_str());
  }
  if (!problem.empty()) {
    complain(problem);
    return exit_faults;
  }
  const std::string site = fs::path(name).filename().string();
  const bool told = write_result({}, [&](std::ostream& out) {
    out << secret << " signs your packs: keep it to yourself.\n"
        << "Other sites know them by this in their site.yaml:\n"
        << "trusts: {" << site << ": " << keys.public_key << "}\n";
  });
  return told ? exit_fine : exit_faults;
}

}  // namespace

Command add_keys(CLI::App& program) {
  const auto name = std::make_shared<std::string>();
  CLI::App* words =
      program.add_subcommand("keys", "A pair of keys, by which other sites know your packs");
  words
      ->add_option("NAME", *name,
                   "What your site is called; NAME.secret and NAME.public are written")
      ->type_name("")
      ->required();
  return {words, [name] { return run_keys(*name); }};
}

}  // namespace budwood::app
