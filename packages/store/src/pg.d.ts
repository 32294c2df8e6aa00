// The part of pg that this package uses. The package ships no types of its own.
declare module "pg" {
  interface QueryResult {
    readonly command: "UPDATE" | "DELETE" | "INSERT" | "SELECT" | "MERGE" | "COMMIT" | "ROLLBACK";
    readonly rowCount: number;
    // biome-ignore lint/suspicious/noExplicitAny: rows have the shape that the statement asks for
    readonly rows: any[];
  }
  interface Notification {
    readonly channel: string;
    readonly payload?: string;
  }
  export interface PoolClient {
    query(sql: string, parameters?: ReadonlyArray<unknown>): Promise<QueryResult>;
    // biome-ignore lint/suspicious/noExplicitAny: kysely's cursor form, which is not used here
    query(cursor: any): any;
    release(destroy?: boolean): void;
    on(event: "notification", listener: (message: Notification) => void): this;
    on(event: "error", listener: (error: Error) => void): this;
    on(event: "end", listener: () => void): this;
  }
  export interface PoolConfig {
    readonly connectionString: string;
    readonly options?: string;
    readonly max?: number;
    readonly connectionTimeoutMillis?: number;
    readonly application_name?: string;
  }
  class Pool {
    constructor(config: PoolConfig);
    connect(): Promise<PoolClient>;
    end(): Promise<void>;
    on(event: "error", listener: (error: Error) => void): this;
  }
  const pg: { readonly Pool: typeof Pool };
  export default pg;
}
