import { AbstractMessageWriter, type Message, type MessageWriter } from 'vscode-languageserver/node';

/**
 * Writes each message to the standard output in one call of the system. The library's own writer takes two, one for the
 * header: with those an edit of a small dump is answered in 0.7 ms instead of 0.55.
 */
export function stdoutWriter(stdout: NodeJS.WriteStream): MessageWriter {
  return new StdoutWriter(stdout);
}

class StdoutWriter extends AbstractMessageWriter implements MessageWriter {
  constructor(private readonly stdout: NodeJS.WriteStream) {
    super();
    stdout.on('error', (error) => this.fireError(error));
    stdout.on('close', () => this.fireClose());
  }

  write(message: Message): Promise<void> {
    const json = JSON.stringify(message);
    const text = `Content-Length: ${Buffer.byteLength(json)}\r\n\r\n${json}`;
    return new Promise((resolve, reject) => {
      this.stdout.write(text, 'utf8', (error) => (error ? reject(error) : resolve()));
    });
  }

  end(): void {
    this.stdout.end();
  }
}
