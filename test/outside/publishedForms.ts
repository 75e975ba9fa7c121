export interface PublishedFile {
  readonly form: string;
  readonly text: string;
  /** `ADDRESS:HEX`, several joined by commas. */
  readonly image: string;
  /** Whether it is spelled as this tool writes the form. */
  readonly spelledAlike: boolean;
}

function files(form: string, lines: string): readonly PublishedFile[] {
  return lines
    .trim()
    .split('\n')
    .map((line) => {
      const [text = '', image = '', alike] = line.split(' ; ');
      return { form, text: text.trim().replaceAll('\\n', '\n'), image: image.trim(), spelledAlike: alike === 'alike' };
    });
}

/**
 * TI-TXT: TI SLAU101, appendix A.2, as quoted in srec_ti_txt(5); lines as observed from srec_cat 1.64 (-ti-txt).
 */
const TI_TXT = files(
  'ti-txt',
  String.raw`
@F000\n31 40 00 03 B2 40 80 5A 20 01 D2 D3 22 00 D2 E3\n21 00 3F 40 E8 FD 1F 83 FE 23 F9 3F\n@FFFE\n00 F0\nq\n ; F000:31400003B240805A2001D2D32200D2E321003F40E8FD1F83FE23F93F,FFFE:00F0 ; alike
@1234\n31 32 33 34 35 36 37 38 39\nq\n ; 1234:313233343536373839 ; alike
@012340\n31 32 33 34 35 36 37 38 39\nq\n ; 12340:313233343536373839 ; alike
`,
);

export const FORM_FILES: readonly PublishedFile[] = [...TI_TXT];
