#include "io/access/certificate.hpp"

#include <gmock/gmock.h>
#include <openssl/pem.h>
#include <openssl/x509v3.h>
#include <sys/stat.h>

#include <fstream>
#include <memory>

#include "support/scratch_folder.hpp"

namespace amphora::access {
namespace {

using testing::MatchesRegex;

class CertificateTest : public testing::Test {
protected:
    Certificate made(Moment when) {
        return certificate_in(file, {"van", "van.local", "no name, IP:1.2.3.4", ""}, {"192.168.8.1", "fd00::1"}, when)
            .value();
    }
    static std::unique_ptr<X509, decltype(&::X509_free)> parsed(const std::string& pem) {
        const std::unique_ptr<BIO, decltype(&::BIO_free_all)> in(
            ::BIO_new_mem_buf(pem.data(), static_cast<int>(pem.size())), &::BIO_free_all);
        return {::PEM_read_bio_X509(in.get(), nullptr, nullptr, nullptr), &::X509_free};
    }

    ScratchFolder folder;
    std::filesystem::path file = folder.path() / "van.certificate";
    Moment at{std::chrono::seconds(1'800'000'000)};
};

TEST_F(CertificateTest, IsForTheHostByItsNamesAndAddresses) {
    const auto certificate = parsed(made(at).chain);
    ASSERT_TRUE(certificate);
    for (const char* name : {"van", "van.local"})
        EXPECT_EQ(::X509_check_host(certificate.get(), name, 0, 0, nullptr), 1) << name;
    EXPECT_EQ(::X509_check_host(certificate.get(), "boat", 0, 0, nullptr), 0);
    for (const char* address : {"192.168.8.1", "fd00::1"})
        EXPECT_EQ(::X509_check_ip_asc(certificate.get(), address, 0), 1) << address;
    EXPECT_EQ(::X509_check_ip_asc(certificate.get(), "1.2.3.4", 0), 0) << "what is no name adds nothing";
    EXPECT_EQ(::X509_check_ca(certificate.get()), 0) << "it vouches for nobody else";
    EXPECT_EQ(::X509_get_version(certificate.get()), 2);
    EXPECT_EQ(::X509_verify(certificate.get(), ::X509_get0_pubkey(certificate.get())), 1);
    EXPECT_EQ(::EVP_PKEY_get_bits(::X509_get0_pubkey(certificate.get())), 256);
}

TEST_F(CertificateTest, IsKeptUntilAMonthBeforeItLapses) {
    const Certificate first = made(at);
    EXPECT_THAT(first.fingerprint, MatchesRegex("([0-9A-F]{2}:){31}[0-9A-F]{2}"));
    EXPECT_EQ(made(at + certificate_lasts - std::chrono::days(31)).chain, first.chain);
    const Certificate second = made(at + certificate_lasts - std::chrono::days(30));
    EXPECT_NE(second.chain, first.chain);
    EXPECT_NE(second.key, first.key);
    std::ofstream(file) << "damaged";
    EXPECT_NE(made(at).chain, second.chain);
}

TEST_F(CertificateTest, ItsKeyIsForItsOwnerOnly) {
    (void)made(at);
    struct stat about{};
    ASSERT_EQ(::stat(file.c_str(), &about), 0);
    EXPECT_EQ(about.st_mode & 0777U, 0600U);
    EXPECT_FALSE(certificate_in(folder.path() / "nowhere" / "van.certificate", {"van"}, {}, at));
}

}  // namespace
}  // namespace amphora::access
