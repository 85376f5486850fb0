#include <core/framing/crc.h>

namespace chockside::framing {

namespace {

struct Row {
    const char* name;
    int width;
    CrcValue poly, init;
    bool reflect_in, reflect_out;
    CrcValue xor_out;
};

// Parameters: the public CRC catalogue (G. Cook), as in tests/data/framing/crc-catalogue.csv.
constexpr Row catalogue[] = {
    {"CRC-3/GSM", 3, 0x3, 0x0, false, false, 0x7},
    {"CRC-3/ROHC", 3, 0x3, 0x7, true, true, 0x0},
    {"CRC-4/G-704", 4, 0x3, 0x0, true, true, 0x0},
    {"CRC-4/INTERLAKEN", 4, 0x3, 0xF, false, false, 0xF},
    {"CRC-5/EPC-C1G2", 5, 0x09, 0x09, false, false, 0x00},
    {"CRC-5/G-704", 5, 0x15, 0x00, true, true, 0x00},
    {"CRC-5/USB", 5, 0x05, 0x1F, true, true, 0x1F},
    {"CRC-6/CDMA2000-A", 6, 0x27, 0x3F, false, false, 0x00},
    {"CRC-6/CDMA2000-B", 6, 0x07, 0x3F, false, false, 0x00},
    {"CRC-6/DARC", 6, 0x19, 0x00, true, true, 0x00},
    {"CRC-6/G-704", 6, 0x03, 0x00, true, true, 0x00},
    {"CRC-6/GSM", 6, 0x2F, 0x00, false, false, 0x3F},
    {"CRC-7/MMC", 7, 0x09, 0x00, false, false, 0x00},
    {"CRC-7/ROHC", 7, 0x4F, 0x7F, true, true, 0x00},
    {"CRC-7/UMTS", 7, 0x45, 0x00, false, false, 0x00},
    {"CRC-8/AUTOSAR", 8, 0x2F, 0xFF, false, false, 0xFF},
    {"CRC-8/BLUETOOTH", 8, 0xA7, 0x00, true, true, 0x00},
    {"CRC-8/CDMA2000", 8, 0x9B, 0xFF, false, false, 0x00},
    {"CRC-8/DARC", 8, 0x39, 0x00, true, true, 0x00},
    {"CRC-8/DVB-S2", 8, 0xD5, 0x00, false, false, 0x00},
    {"CRC-8/GSM-A", 8, 0x1D, 0x00, false, false, 0x00},
    {"CRC-8/GSM-B", 8, 0x49, 0x00, false, false, 0xFF},
    {"CRC-8/HITAG", 8, 0x1D, 0xFF, false, false, 0x00},
    {"CRC-8/I-432-1", 8, 0x07, 0x00, false, false, 0x55},
    {"CRC-8/I-CODE", 8, 0x1D, 0xFD, false, false, 0x00},
    {"CRC-8/LTE", 8, 0x9B, 0x00, false, false, 0x00},
    {"CRC-8/MAXIM-DOW", 8, 0x31, 0x00, true, true, 0x00},
    {"CRC-8/MIFARE-MAD", 8, 0x1D, 0xC7, false, false, 0x00},
    {"CRC-8/NRSC-5", 8, 0x31, 0xFF, false, false, 0x00},
    {"CRC-8/OPENSAFETY", 8, 0x2F, 0x00, false, false, 0x00},
    {"CRC-8/ROHC", 8, 0x07, 0xFF, true, true, 0x00},
    {"CRC-8/SAE-J1850", 8, 0x1D, 0xFF, false, false, 0xFF},
    {"CRC-8/SMBUS", 8, 0x07, 0x00, false, false, 0x00},
    {"CRC-8/TECH-3250", 8, 0x1D, 0xFF, true, true, 0x00},
    {"CRC-8/WCDMA", 8, 0x9B, 0x00, true, true, 0x00},
    {"CRC-10/ATM", 10, 0x233, 0x000, false, false, 0x000},
    {"CRC-10/CDMA2000", 10, 0x3D9, 0x3FF, false, false, 0x000},
    {"CRC-10/GSM", 10, 0x175, 0x000, false, false, 0x3FF},
    {"CRC-11/FLEXRAY", 11, 0x385, 0x01A, false, false, 0x000},
    {"CRC-11/UMTS", 11, 0x307, 0x000, false, false, 0x000},
    {"CRC-12/CDMA2000", 12, 0xF13, 0xFFF, false, false, 0x000},
    {"CRC-12/DECT", 12, 0x80F, 0x000, false, false, 0x000},
    {"CRC-12/GSM", 12, 0xD31, 0x000, false, false, 0xFFF},
    {"CRC-12/UMTS", 12, 0x80F, 0x000, false, true, 0x000},
    {"CRC-13/BBC", 13, 0x1CF5, 0x0000, false, false, 0x0000},
    {"CRC-14/DARC", 14, 0x0805, 0x0000, true, true, 0x0000},
    {"CRC-14/GSM", 14, 0x202D, 0x0000, false, false, 0x3FFF},
    {"CRC-15/CAN", 15, 0x4599, 0x0000, false, false, 0x0000},
    {"CRC-15/MPT1327", 15, 0x6815, 0x0000, false, false, 0x0001},
    {"CRC-16/ARC", 16, 0x8005, 0x0000, true, true, 0x0000},
    {"CRC-16/CDMA2000", 16, 0xC867, 0xFFFF, false, false, 0x0000},
    {"CRC-16/CMS", 16, 0x8005, 0xFFFF, false, false, 0x0000},
    {"CRC-16/DDS-110", 16, 0x8005, 0x800D, false, false, 0x0000},
    {"CRC-16/DECT-R", 16, 0x0589, 0x0000, false, false, 0x0001},
    {"CRC-16/DECT-X", 16, 0x0589, 0x0000, false, false, 0x0000},
    {"CRC-16/DNP", 16, 0x3D65, 0x0000, true, true, 0xFFFF},
    {"CRC-16/EN-13757", 16, 0x3D65, 0x0000, false, false, 0xFFFF},
    {"CRC-16/GENIBUS", 16, 0x1021, 0xFFFF, false, false, 0xFFFF},
    {"CRC-16/GSM", 16, 0x1021, 0x0000, false, false, 0xFFFF},
    {"CRC-16/IBM-3740", 16, 0x1021, 0xFFFF, false, false, 0x0000},
    {"CRC-16/IBM-SDLC", 16, 0x1021, 0xFFFF, true, true, 0xFFFF},
    {"CRC-16/ISO-IEC-14443-3-A", 16, 0x1021, 0xC6C6, true, true, 0x0000},
    {"CRC-16/KERMIT", 16, 0x1021, 0x0000, true, true, 0x0000},
    {"CRC-16/LJ1200", 16, 0x6F63, 0x0000, false, false, 0x0000},
    {"CRC-16/M17", 16, 0x5935, 0xFFFF, false, false, 0x0000},
    {"CRC-16/MAXIM-DOW", 16, 0x8005, 0x0000, true, true, 0xFFFF},
    {"CRC-16/MCRF4XX", 16, 0x1021, 0xFFFF, true, true, 0x0000},
    {"CRC-16/MODBUS", 16, 0x8005, 0xFFFF, true, true, 0x0000},
    {"CRC-16/NRSC-5", 16, 0x080B, 0xFFFF, true, true, 0x0000},
    {"CRC-16/OPENSAFETY-A", 16, 0x5935, 0x0000, false, false, 0x0000},
    {"CRC-16/OPENSAFETY-B", 16, 0x755B, 0x0000, false, false, 0x0000},
    {"CRC-16/PROFIBUS", 16, 0x1DCF, 0xFFFF, false, false, 0xFFFF},
    {"CRC-16/RIELLO", 16, 0x1021, 0xB2AA, true, true, 0x0000},
    {"CRC-16/SPI-FUJITSU", 16, 0x1021, 0x1D0F, false, false, 0x0000},
    {"CRC-16/T10-DIF", 16, 0x8BB7, 0x0000, false, false, 0x0000},
    {"CRC-16/TELEDISK", 16, 0xA097, 0x0000, false, false, 0x0000},
    {"CRC-16/TMS37157", 16, 0x1021, 0x89EC, true, true, 0x0000},
    {"CRC-16/UMTS", 16, 0x8005, 0x0000, false, false, 0x0000},
    {"CRC-16/USB", 16, 0x8005, 0xFFFF, true, true, 0xFFFF},
    {"CRC-16/XMODEM", 16, 0x1021, 0x0000, false, false, 0x0000},
    {"CRC-17/CAN-FD", 17, 0x1685B, 0x00000, false, false, 0x00000},
    {"CRC-21/CAN-FD", 21, 0x102899, 0x000000, false, false, 0x000000},
    {"CRC-24/BLE", 24, 0x00065B, 0x555555, true, true, 0x000000},
    {"CRC-24/FLEXRAY-A", 24, 0x5D6DCB, 0xFEDCBA, false, false, 0x000000},
    {"CRC-24/FLEXRAY-B", 24, 0x5D6DCB, 0xABCDEF, false, false, 0x000000},
    {"CRC-24/INTERLAKEN", 24, 0x328B63, 0xFFFFFF, false, false, 0xFFFFFF},
    {"CRC-24/LTE-A", 24, 0x864CFB, 0x000000, false, false, 0x000000},
    {"CRC-24/LTE-B", 24, 0x800063, 0x000000, false, false, 0x000000},
    {"CRC-24/OPENPGP", 24, 0x864CFB, 0xB704CE, false, false, 0x000000},
    {"CRC-24/OS-9", 24, 0x800063, 0xFFFFFF, false, false, 0xFFFFFF},
    {"CRC-30/CDMA", 30, 0x2030B9C7, 0x3FFFFFFF, false, false, 0x3FFFFFFF},
    {"CRC-31/PHILIPS", 31, 0x04C11DB7, 0x7FFFFFFF, false, false, 0x7FFFFFFF},
    {"CRC-32/AIXM", 32, 0x814141AB, 0x00000000, false, false, 0x00000000},
    {"CRC-32/AUTOSAR", 32, 0xF4ACFB13, 0xFFFFFFFF, true, true, 0xFFFFFFFF},
    {"CRC-32/BASE91-D", 32, 0xA833982B, 0xFFFFFFFF, true, true, 0xFFFFFFFF},
    {"CRC-32/BZIP2", 32, 0x04C11DB7, 0xFFFFFFFF, false, false, 0xFFFFFFFF},
    {"CRC-32/CD-ROM-EDC", 32, 0x8001801B, 0x00000000, true, true, 0x00000000},
    {"CRC-32/CKSUM", 32, 0x04C11DB7, 0x00000000, false, false, 0xFFFFFFFF},
    {"CRC-32/ISCSI", 32, 0x1EDC6F41, 0xFFFFFFFF, true, true, 0xFFFFFFFF},
    {"CRC-32/ISO-HDLC", 32, 0x04C11DB7, 0xFFFFFFFF, true, true, 0xFFFFFFFF},
    {"CRC-32/JAMCRC", 32, 0x04C11DB7, 0xFFFFFFFF, true, true, 0x00000000},
    {"CRC-32/MEF", 32, 0x741B8CD7, 0xFFFFFFFF, true, true, 0x00000000},
    {"CRC-32/MPEG-2", 32, 0x04C11DB7, 0xFFFFFFFF, false, false, 0x00000000},
    {"CRC-32/XFER", 32, 0x000000AF, 0x00000000, false, false, 0x00000000},
    {"CRC-40/GSM", 40, 0x0004820009, 0x0000000000, false, false, 0xFFFFFFFFFF},
    {"CRC-64/ECMA-182", 64, 0x42F0E1EBA9EA3693, 0x0000000000000000, false, false, 0x0000000000000000},
    {"CRC-64/GO-ISO", 64, 0x000000000000001B, 0xFFFFFFFFFFFFFFFF, true, true, 0xFFFFFFFFFFFFFFFF},
    {"CRC-64/MS", 64, 0x259C84CBA6426349, 0xFFFFFFFFFFFFFFFF, true, true, 0x0000000000000000},
    {"CRC-64/NVME", 64, 0xAD93D23594C93659, 0xFFFFFFFFFFFFFFFF, true, true, 0xFFFFFFFFFFFFFFFF},
    {"CRC-64/REDIS", 64, 0xAD93D23594C935A9, 0x0000000000000000, true, true, 0x0000000000000000},
    {"CRC-64/WE", 64, 0x42F0E1EBA9EA3693, 0xFFFFFFFFFFFFFFFF, false, false, 0xFFFFFFFFFFFFFFFF},
    {"CRC-64/XZ", 64, 0x42F0E1EBA9EA3693, 0xFFFFFFFFFFFFFFFF, true, true, 0xFFFFFFFFFFFFFFFF},
    {"CRC-82/DARC", 82, CrcValue{0x0308C} << 64 | 0x0111011401440411, 0, true, true, 0},
};

} // namespace

std::optional<CrcParameters> crc_by_name(const std::string& name)
{
    for (const Row& r : catalogue)
        if (r.name == name) return CrcParameters{r.name, r.width, r.poly, r.init, r.reflect_in, r.reflect_out, r.xor_out};
    return std::nullopt;
}

std::vector<std::string> crc_names()
{
    std::vector<std::string> names;
    for (const Row& r : catalogue) names.emplace_back(r.name);
    return names;
}

} // namespace chockside::framing
